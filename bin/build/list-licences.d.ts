interface InstalledPackage {
  readonly where: string;
  readonly name: string;
  readonly license: string;
  readonly hasInstallScript: boolean;
}

export function installedPackages(): InstalledPackage[];
