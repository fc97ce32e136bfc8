import type { HeadColumn } from "./head-columns.ts";
import type { LogSettings, SensorRole } from "./log.ts";

/** One sensor: the columns it is made from and how. */
export interface SensorChoice {
  readonly role: SensorRole;
  /** W, MHz, % or °C. */
  readonly unit: string;
  /** More than one where only single cores are printed: their mean counts. */
  readonly indices: readonly number[];
  /** Printed value times `scale`, plus `offset`, is in `unit`. */
  readonly scale: number;
  readonly offset: number;
  readonly evidence: string;
}

/** What the columns say about sensors, and roles that several columns could have. */
export interface SensorRecognition {
  readonly sensors: readonly SensorChoice[];
  readonly unclear: readonly { readonly role: SensorRole; readonly indices: readonly number[] }[];
}

type Quantity = "power" | "clock" | "load" | "temperature";

const roleUnits: Readonly<Record<Quantity, string>> = {
  power: "W",
  clock: "MHz",
  load: "%",
  temperature: "°C",
};
const roles: readonly SensorRole[] = [
  "cpu-power",
  "gpu-power",
  "cpu-clock",
  "cpu-load",
  "gpu-load",
  "cpu-temperature",
  "gpu-temperature",
];

/** Other parts of a machine, and figures that are settings or extremes rather than readings. */
const notReadings =
  /^(?:mem|memory|vram|ram|fan|pump|vrm|vrmos|limit|max|min|maximum|minimum|target|tdp|cap|throttle|throttling|voltage|volt|v|battery|disk|ssd|mainboard|ambient|rpm|requested|base|boost|bus|encode|encoder|decode|decoder|copy|video)$/;

interface Draft {
  readonly column: HeadColumn;
  readonly role: SensorRole;
  readonly scale: { readonly scale: number; readonly offset: number };
  /** Number of the core or thread, null for the whole. */
  readonly core: number | null;
  readonly rank: number;
}

/** Finds sensors by the quantity, the part of the machine and the unit that columns' names state. */
export function recogniseSensors(
  columns: readonly HeadColumn[],
  taken: ReadonlySet<number>,
  settings: LogSettings["sensors"],
): SensorRecognition {
  const drafts = columns.filter(({ index }) => !taken.has(index)).flatMap((column) => draftOf(column) ?? []);
  const sensors: SensorChoice[] = [];
  const unclear: { role: SensorRole; indices: number[] }[] = [];
  for (const role of roles) {
    const wanted = settings?.[role]?.column;
    if (wanted !== undefined) {
      const column = columns.find(({ name }) => name?.trim().toLowerCase() === wanted.trim().toLowerCase());
      if (column?.kind === "number") sensors.push(bySetting(role, column));
      continue;
    }
    const ofRole = drafts.filter((draft) => draft.role === role);
    const whole = ofRole.filter(({ core }) => core === null);
    const best = Math.max(...whole.map(({ rank }) => rank));
    const [first, ...others] = whole.filter(({ rank }) => rank === best);
    if (first !== undefined) {
      if (others.every((other) => sameReadings(first, other))) {
        sensors.push(choiceOf(role, [first], namedWords(first)));
      } else unclear.push({ role, indices: [first, ...others].map(({ column }) => column.index) });
      continue;
    }
    const cores = ofRole.filter(({ core }) => core !== null);
    if (cores.length === 0) continue;
    // Power adds up over the cores and leaves out the rest of the package, so its mean would say nothing.
    if (role.endsWith("power")) unclear.push({ role, indices: cores.map(({ column }) => column.index) });
    else sensors.push(choiceOf(role, cores, `no column for the whole: the mean of ${cores.length} cores`));
  }
  return { sensors, unclear };
}

function draftOf(column: HeadColumn): Draft | null {
  const { kind, words, timeUnit } = column;
  if (kind !== "number" || timeUnit !== null) return null;
  const quantity = quantityOf(column);
  const part = partOf(words);
  if (quantity === null || part === null || words.some((word) => notReadings.test(word))) return null;
  // The power of a graphics card is that of its board; a board's temperature is another than its chip's.
  if (words.includes("board") && !(part === "gpu" && quantity === "power")) return null;
  const role = roles.find((candidate) => candidate === `${part}-${quantity}`);
  const scale = scaleOf(quantity, column);
  if (role === undefined || scale === null) return null;
  return { column, role, scale, core: part === "cpu" ? coreOf(words) : null, rank: rankOf(words, quantity) };
}

function quantityOf({ words, otherUnit, texts }: HeadColumn): Quantity | null {
  const has = (...options: string[]): boolean => options.some((word) => words.includes(word));
  if (otherUnit === "W" || otherUnit === "mW") return "power";
  if (otherUnit === "MHz" || otherUnit === "GHz" || otherUnit === "kHz") return "clock";
  if (otherUnit === "°C" || otherUnit === "°F") return "temperature";
  if (has("power", "watt", "watts")) return otherUnit === null ? "power" : null;
  if (has("temp", "temperature")) return otherUnit === null ? "temperature" : null;
  if (has("load", "usage", "util", "utilization", "utilisation", "busy", "used")) {
    return otherUnit === "%" || otherUnit === null ? "load" : null;
  }
  if (otherUnit === "%" && texts.size > 1) return "load";
  if (has("clock", "freq", "frequency", "speed"))
    return otherUnit === null || otherUnit === "Hz" ? "clock" : null;
  return null;
}

function partOf(words: readonly string[]): "cpu" | "gpu" | null {
  const has = (...options: string[]): boolean => options.some((word) => words.includes(word));
  if (has("gpu", "graphics", "gfx", "card")) return "gpu";
  return has("cpu", "processor", "package", "pkg", "core", "cores", "thread") ? "cpu" : null;
}

/** "core 3", "cpu 3", "thread 3". */
function coreOf(words: readonly string[]): number | null {
  const at = words.findIndex(
    (word, i) => ["core", "cpu", "thread"].includes(word) && /^\d+$/.test(words[i + 1] ?? ""),
  );
  return at < 0 ? null : Number(words[at + 1]);
}

/** The whole before a part of it: the package before the cores, the usual place before the hottest one. */
function rankOf(words: readonly string[], quantity: Quantity): number {
  const has = (...options: string[]): boolean => options.some((word) => words.includes(word));
  let rank = 0;
  if (has("package", "pkg", "total", "overall", "all", "board")) rank += quantity === "power" ? 2 : 1;
  if (has("hotspot", "junction", "hot", "spot", "ccd", "die", "soc", "effective")) rank -= 1;
  if (has("core", "cores") && quantity === "power") rank -= 1;
  return rank;
}

/** How the printed values become the role's unit; null where they make no sense in any. */
function scaleOf(
  quantity: Quantity,
  { otherUnit, shape }: HeadColumn,
): { scale: number; offset: number } | null {
  const plain = { scale: 1, offset: 0 };
  const within = (low: number, high: number): boolean => shape.median >= low && shape.median <= high;
  switch (quantity) {
    case "power":
      if (otherUnit === "mW") return { scale: 1e-3, offset: 0 };
      return within(0, 3000) ? plain : null;
    case "clock":
      if (otherUnit === "GHz" || (otherUnit === null && within(0.1, 10))) return { scale: 1e3, offset: 0 };
      if (otherUnit === "Hz" || (otherUnit === null && within(1e8, 1e10))) return { scale: 1e-6, offset: 0 };
      if (otherUnit === "kHz" || (otherUnit === null && within(1e5, 1e7))) return { scale: 1e-3, offset: 0 };
      return within(10, 20_000) ? plain : null;
    case "load":
      if (shape.min < 0 || shape.max > 105) return null;
      // A share of 1 rather than a percentage: nothing above 1, and not just idle and whole numbers.
      return otherUnit === null && shape.max <= 1 && !shape.whole ? { scale: 100, offset: 0 } : plain;
    case "temperature":
      if (otherUnit === "°F") return { scale: 5 / 9, offset: -160 / 9 };
      return within(-30, 150) ? plain : null;
  }
}

function sameReadings(a: Draft, b: Draft): boolean {
  return a.column.values.every((value, i) => {
    const other = b.column.values[i] ?? Number.NaN;
    return (
      (Number.isNaN(value) && Number.isNaN(other)) ||
      Math.abs(value * a.scale.scale - other * b.scale.scale) < 1e-6
    );
  });
}

/** What the name states, and on what ground the unit was taken where it states none. */
function namedWords({ column, scale, role }: Draft): string {
  if (column.otherUnit !== null) return "its name states the part, the quantity and the unit";
  const quantity = quantityNamed(role);
  const unit = unitOf(role);
  const usual = `${unit} is usual`;
  const why = {
    power: usual,
    temperature: usual,
    load: scale.scale === 1 ? usual : "no value is above 1, so 1 is taken for 100%",
    clock:
      scale.scale === 1
        ? `values of such a size are ${unit}`
        : `values of such a size are ${scale.scale === 1e3 ? "GHz" : scale.scale === 1e-3 ? "kHz" : "Hz"}`,
  }[quantity];
  return `its name states the part and the quantity, and no unit: ${why}`;
}

function choiceOf(role: SensorRole, drafts: readonly Draft[], evidence: string): SensorChoice {
  const scale = drafts[0]?.scale ?? { scale: 1, offset: 0 };
  return { role, unit: unitOf(role), indices: drafts.map(({ column }) => column.index), ...scale, evidence };
}

function bySetting(role: SensorRole, column: HeadColumn): SensorChoice {
  const quantity = quantityNamed(role);
  const scale = scaleOf(quantity, column) ?? { scale: 1, offset: 0 };
  return { role, unit: unitOf(role), indices: [column.index], ...scale, evidence: "the session says so" };
}

function quantityNamed(role: SensorRole): Quantity {
  return role.slice(role.indexOf("-") + 1) as Quantity;
}

function unitOf(role: SensorRole): string {
  return roleUnits[quantityNamed(role)];
}
