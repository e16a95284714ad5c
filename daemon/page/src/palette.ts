/** The style sheet's colours for what is drawn on a canvas. */

export interface Palette {
  ink: string;
  soft: string;
  line: string;
  trace: string;
  plan: string;
  band: string;
  haze: string;
  paper: string;
}

export function palette(): Palette {
  const style = getComputedStyle(document.documentElement);
  const of = (name: string) => style.getPropertyValue(`--${name}`).trim();
  return { ink: of("ink"), soft: of("soft"), line: of("line"), trace: of("trace"), plan: of("plan"), band: of("band"), haze: of("haze"), paper: of("surface") };
}
