/** What is asked before a run, as data. Keys are those of the daemon's request; values are kept as typed. */

import { stored, unitOf, type Quantity, type Units } from "./units";

export interface Field {
  /** Dotted as in the daemon's problem documents. */
  key: string;
  label: string;
  quantity: Quantity | "text" | "percent";
  help: string;
  required?: boolean;
}

export const buildingFields: Field[] = [
  { key: "building.name", label: "Name of the building", quantity: "text", help: "Stands in the report." },
  { key: "building.volume_m3", label: "Inner volume", quantity: "volume", help: "For air changes an hour." },
  { key: "building.envelope_area_m2", label: "Area of the envelope", quantity: "area", help: "Walls, roof and floor; for qE50." },
  { key: "building.floor_area_m2", label: "Floor area", quantity: "area", help: "For qF50." },
  { key: "building.height_m", label: "Inner height", quantity: "length", help: "Lowest floor to highest ceiling." },
];

export const conditionFields: Field[] = [
  { key: "conditions.indoor_c", label: "Air indoors", quantity: "temperature", help: "For the density of the air.", required: true },
  { key: "conditions.outdoor_c", label: "Air outdoors", quantity: "temperature", help: "In the shade.", required: true },
  { key: "conditions.altitude_m", label: "Height above sea level", quantity: "length", help: "Or the air pressure below." },
  { key: "conditions.barometric_pa", label: "Air pressure at the site", quantity: "barometer", help: "Not reduced to sea level; may stay empty." },
  { key: "conditions.wind_m_s", label: "Wind as reported", quantity: "speed", help: "May stay empty." },
];

/** Seconds between signs of life, and how that is said. */
export const presenceChoices: [string, string][] = [
  ["0", "No sign of life is asked for"],
  ["300", "Every 5 min"],
  ["600", "Every 10 min"],
  ["1200", "Every 20 min"],
];

export function unitName(field: Field, units: Units): string {
  if (field.quantity === "text") return "";
  return field.quantity === "percent" ? "%" : unitOf(field.quantity, units).name;
}

function valueOf(field: Field, text: string, units: Units): string | number | undefined {
  const trimmed = text.trim();
  if (trimmed === "") return undefined;
  if (field.quantity === "text" || field.quantity === "percent") return trimmed;
  const value = Number(trimmed.replace(",", "."));
  // What is no number goes as it is: the daemon says what is wrong with it, beside the field.
  return Number.isFinite(value) ? Math.round(stored(value, unitOf(field.quantity, units)) * 1e6) / 1e6 : trimmed;
}

export interface RunBody {
  procedure: string;
  direction: string;
  building: Record<string, string | number>;
  conditions: Record<string, string | number>;
  attended: boolean;
  presence_s?: number;
  dry_run: boolean;
}

export function runBody(procedure: string, direction: string, typed: Map<string, string>, units: Units, isDry: boolean): RunBody {
  const body: RunBody = { procedure, direction, building: {}, conditions: {}, attended: true, dry_run: isDry };
  const presenceS = Number(typed.get("presence") ?? 0);
  if (presenceS > 0) body.presence_s = presenceS;
  for (const field of [...buildingFields, ...conditionFields]) {
    const [table, key] = field.key.split(".") as ["building" | "conditions", string];
    const value = valueOf(field, typed.get(field.key) ?? "", units);
    if (value !== undefined) body[table][key] = value;
  }
  return body;
}
