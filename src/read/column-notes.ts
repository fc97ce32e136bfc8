import type { HeadColumn } from "./head-columns.ts";
import type { ColumnReading, Evidence } from "./log.ts";

/** Collects roles and evidence per column while the decision is made. */
export class ColumnNotes {
  private readonly drafts: {
    column: HeadColumn;
    role: ColumnReading["role"];
    unit: string | null;
    evidence: Evidence[];
  }[];

  constructor(columns: readonly HeadColumn[]) {
    this.drafts = columns.map((column) => ({
      column,
      role: "not-used",
      unit: column.timeUnit ?? column.otherUnit,
      evidence: [],
    }));
  }

  add(column: HeadColumn, role: ColumnReading["role"] | null, favours: boolean, text: string): void {
    const draft = this.drafts[column.index];
    if (draft === undefined) return;
    if (role !== null) draft.role = role;
    draft.evidence.push({ favours, text });
  }

  setRole(column: HeadColumn, role: ColumnReading["role"], unit: string | null): void {
    const draft = this.drafts[column.index];
    if (draft !== undefined) Object.assign(draft, { role, unit: unit ?? draft.unit });
  }

  readings(): ColumnReading[] {
    return this.drafts.map(({ column, role, unit, evidence }) => ({
      position: column.index + 1,
      name: column.name,
      role,
      sensor: null,
      unit,
      evidence,
    }));
  }
}
