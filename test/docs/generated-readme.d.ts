export function compareReadme(): { readonly now: string; readonly fresh: string };
