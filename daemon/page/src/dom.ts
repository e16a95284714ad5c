/** Elements without a framework, and without markup as text: nothing that the daemon sends becomes HTML. */

type Child = Node | string | null | undefined | false;
type Props = Record<string, string | number | boolean | null | undefined | ((event: Event) => void)>;

function fill(element: Element, props: Props, children: Child[]): void {
  for (const [name, value] of Object.entries(props)) {
    if (typeof value === "function") element.addEventListener(name, value);
    else if (value === true) element.setAttribute(name, "");
    else if (value !== false && value !== null && value !== undefined) element.setAttribute(name, String(value));
  }
  for (const child of children) if (child) element.append(child);
}

export function h<K extends keyof HTMLElementTagNameMap>(tag: K, props: Props = {}, ...children: Child[]): HTMLElementTagNameMap[K] {
  const element = document.createElement(tag);
  fill(element, props, children);
  return element;
}

export function svg(tag: string, props: Props = {}, ...children: Child[]): SVGElement {
  const element = document.createElementNS("http://www.w3.org/2000/svg", tag);
  fill(element, props, children);
  return element;
}

/** Leaves an element alone that says so already: a live region would speak again. */
export function setText(element: Element, text: string): void {
  if (element.textContent !== text) element.textContent = text;
}

export function setShown(element: HTMLElement, shown: boolean): void {
  if (element.hidden === shown) element.hidden = !shown;
}

export function replace(parent: Element, ...children: Child[]): void {
  parent.replaceChildren(...children.filter((child): child is Node | string => Boolean(child)));
}

/** Builds a part anew only when what it shows has changed, so that focus and half-typed text survive. */
export class Keyed {
  private key: string | null = null;
  constructor(readonly element: HTMLElement) {}

  show(key: unknown, build: () => Child[]): void {
    const text = JSON.stringify(key);
    if (text === this.key) return;
    this.key = text;
    replace(this.element, ...build());
  }
}

export function button(text: string, kind: string, act: () => void, meaning?: string): HTMLButtonElement {
  return h("button", { type: "button", class: `button ${kind}`, click: act }, h("span", {}, text), meaning ? h("small", {}, meaning) : null);
}
