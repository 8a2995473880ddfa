// units.ts: what people type, and what is kept: SI. The only place where one becomes the other.

/** A number as typed, with a point or a comma; null if it is none, or empty. */
export function numberOf(text: string): number | null {
  const plain = text.trim().replace(/^([+-]?\d*),(\d+)$/, "$1.$2");
  if (!/^[+-]?(\d+\.?\d*|\.\d+)$/.test(plain)) return null;
  return Number(plain);
}

/** Ten digits after the point are enough for any measure, and hide what binary fractions add (1.1 * 3). */
function tidy(value: number): number {
  return Number(value.toFixed(10));
}

export const STANDARD_GRAVITY = 9.80665; // m/s², exact by definition (3rd CGPM, 1901)

export type ForceUnit = "kgf" | "N";

export function newtonsOf(value: number, unit: ForceUnit): number {
  return tidy(unit === "kgf" ? value * STANDARD_GRAVITY : value);
}
export function forceIn(newtons: number, unit: ForceUnit): number {
  return tidy(unit === "kgf" ? newtons / STANDARD_GRAVITY : newtons);
}
export function metresOf(centimetres: number): number {
  return tidy(centimetres / 100);
}
export function centimetresOf(metres: number): number {
  return tidy(metres * 100);
}

/** A number as it would be typed: no more digits than it has, at most `digits` after the point. */
export function typed(value: number | null, digits = 3): string {
  return value === null ? "" : String(Number(value.toFixed(digits)));
}
