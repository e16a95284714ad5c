/** The units that the page shows; data keep those that their names say. */

export type Units = "si" | "metric" | "ip";

export interface Unit {
  factor: number;
  offset: number;
  name: string;
}

const plain = (name: string): Unit => ({ factor: 1, offset: 0, name });
const by = (factor: number, name: string): Unit => ({ factor, offset: 0, name });

const metresPerFoot = 0.3048;
const m3hPerCfm = 60 * metresPerFoot ** 3;
const cm2PerIn2 = 2.54 ** 2;
const paPerInchOfMercury = 3386.389;
const mphPerMS = 3600 / 1609.344;

export type Quantity =
  | "flow" // m3/h
  | "flow_per_area" // m3/(h m2)
  | "coefficient" // m3/(h Pa^n)
  | "leak_area" // cm2
  | "per_hour"
  | "volume" // m3
  | "area" // m2
  | "length" // m
  | "temperature" // degrees C
  | "barometer" // Pa
  | "speed" // m/s
  | "plain";

const metric: Record<Quantity, Unit> = {
  flow: plain("m³/h"),
  flow_per_area: plain("m³/(h·m²)"),
  coefficient: plain("m³/(h·Paⁿ)"),
  leak_area: plain("cm²"),
  per_hour: plain("1/h"),
  volume: plain("m³"),
  area: plain("m²"),
  length: plain("m"),
  temperature: plain("°C"),
  barometer: by(0.01, "hPa"),
  speed: plain("m/s"),
  plain: plain(""),
};

const si: Record<Quantity, Unit> = {
  ...metric,
  flow: by(1 / 3.6, "L/s"),
  flow_per_area: by(1 / 3.6, "L/(s·m²)"),
  coefficient: by(1 / 3.6, "L/(s·Paⁿ)"),
};

const ip: Record<Quantity, Unit> = {
  ...metric,
  flow: by(1 / m3hPerCfm, "cfm"),
  flow_per_area: by(metresPerFoot ** 2 / m3hPerCfm, "cfm/ft²"),
  coefficient: by(1 / m3hPerCfm, "cfm/Paⁿ"),
  leak_area: by(1 / cm2PerIn2, "in²"),
  volume: by(metresPerFoot ** -3, "ft³"),
  area: by(metresPerFoot ** -2, "ft²"),
  length: by(1 / metresPerFoot, "ft"),
  temperature: { factor: 1.8, offset: 32, name: "°F" },
  barometer: by(1 / paPerInchOfMercury, "inHg"),
  speed: by(mphPerMS, "mph"),
};

const systems: Record<Units, Record<Quantity, Unit>> = { si, metric, ip };

export function unitOf(quantity: Quantity, units: Units): Unit {
  return systems[units][quantity];
}

export function shown(value: number, unit: Unit): number {
  return value * unit.factor + unit.offset;
}

export function stored(value: number, unit: Unit): number {
  return (value - unit.offset) / unit.factor;
}
