import { markupText } from "../escape.ts";

/** HTML that is safe as it stands; only `html` and `trusted` make it. */
export class Markup {
  readonly text: string;

  constructor(text: string) {
    this.text = text;
  }
}

type Value = string | number | Markup | null | readonly Value[];

/**
 * HTML from a template: whatever is put in is text and is escaped, unless it is Markup already. Lists are joined, null
 * is nothing.
 * @example html`<td>${"<b>"}</td>`.text // "<td>&lt;b&gt;</td>"
 */
export function html(strings: TemplateStringsArray, ...values: readonly Value[]): Markup {
  return new Markup(
    strings.map((part, i) => part + (i < values.length ? render(values[i] as Value) : "")).join(""),
  );
}

/** Text of our own that is HTML already: drawn pictures, styles, scripts. Nothing from files may come through here. */
export function trusted(text: string): Markup {
  return new Markup(text);
}

function render(value: Value): string {
  if (value === null) return "";
  if (value instanceof Markup) return value.text;
  if (typeof value === "object") return value.map(render).join("");
  return markupText(String(value));
}
