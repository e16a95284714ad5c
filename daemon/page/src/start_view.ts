/** Starting a run: what, which way, on which building, in which weather; checked before anything begins. */

import type { App } from "./app";
import { button, h, Keyed, replace } from "./dom";
import { get, post, Refused, wordsOf } from "./http";
import type { Part } from "./part";
import { usualPresenceS } from "./presence";
import { explanation } from "./procedure_words";
import { randomKey } from "./random_key";
import { buildingFields, conditionFields, presenceChoices, runBody, unitName, type Field } from "./start_fields";
import { loadTyped, saveTyped } from "./typed_values";
import type { State } from "./store";
import type { FieldProblem, Procedure } from "./types";
import type { Units } from "./units";

const directions: [string, string, string][] = [
  ["depressurize", "Below outdoors", "the fan blows out"],
  ["pressurize", "Above outdoors", "the fan blows in"],
  ["both", "Both, one after the other", "the fan is turned in between"],
];

export class StartView implements Part {
  readonly element = h("main", { class: "start", id: "main" });
  private readonly typed = loadTyped();
  private readonly explained = h("section", { class: "explained", "aria-live": "polite" });
  private readonly directionBox = h("div", { class: "choices" });
  private readonly ready = h("section", { class: "ready", "aria-live": "assertive" });
  private readonly form = new Keyed(h("div", {}));
  private readonly inputs = new Map<string, HTMLInputElement | HTMLSelectElement>();
  private procedures: { id: string; title: string }[] = [];
  private procedure: Procedure | null = null;
  private units: Units = "metric";
  private key = "";

  constructor(private readonly app: App) {
    this.element.append(h("h1", {}, "Start a run"), this.form.element, this.ready);
  }

  async opened(): Promise<void> {
    replace(this.ready);
    try {
      this.procedures = (await get<{ procedures: { id: string; title: string }[] }>("/v1/procedures")).procedures;
      this.update(this.app.store.state);
      await this.choose(this.typed.get("procedure") ?? "steady");
    } catch (error) {
      replace(this.ready, h("p", { class: "complaint", role: "alert" }, wordsOf(error)));
    }
  }

  update({ settings, session, status }: State): void {
    this.units = settings.units;
    const isViewer = session?.role === "viewer";
    const isBusy = status?.run_state === "running";
    this.form.show([this.procedures.length, settings.units, isViewer, isBusy], () => {
      if (isViewer) return [h("p", {}, "You are signed in to look on; an operator starts runs.")];
      if (isBusy) return [h("p", {}, "A run is going on. It has to end before another begins."), h("a", { class: "button primary", href: "#now" }, "Go to the run")];
      return this.procedures.length > 0 ? [this.build()] : [h("p", {}, "Reading the procedures…")];
    });
  }

  private build(): HTMLElement {
    this.inputs.clear();
    const presence = h("select", { id: "presence", change: () => this.type("presence", presence.value) });
    for (const [seconds, said] of presenceChoices) presence.append(h("option", { value: seconds }, said));
    this.inputs.set("presence", presence);
    this.showPresence();
    const chosen = this.typed.get("procedure") ?? "steady";
    const select = h("select", { id: "procedure", change: () => void this.choose(select.value) });
    for (const { id, title } of this.procedures) select.append(h("option", { value: id, selected: id === chosen }, `${title} (${id})`));
    this.inputs.set("procedure", select);
    const note = h("section", { class: "caution" }, h("p", {}, "△ A fan can draw flue gas into rooms and lift ash, dust and fibres. Appliances that burn fuel off and unable to start, no fire, no embers, ash out. Where material is suspect or fragile: do not depressurize, ask a specialist. The list that follows asks for all of this before anything moves."));
    return h(
      "form",
      { novalidate: true, submit: (event) => this.submit(event) },
      this.field("procedure", "Procedure", "", select, ""),
      this.explained,
      h("fieldset", {}, h("legend", {}, "Which way"), this.directionBox, this.problemLine("direction")),
      h("fieldset", {}, h("legend", {}, "Building"), ...buildingFields.map((field) => this.input(field))),
      h("fieldset", {}, h("legend", {}, "Weather and place"), ...conditionFields.map((field) => this.input(field))),
      this.field("presence", "Sign of life", "While the fan runs, any touch on this page counts. Without one the pressure goes down to the look-round level, later the fan off.", presence, ""),
      note,
      h("p", { class: "complaint", id: "problem-other", role: "alert", hidden: true }),
      h("button", { type: "submit", class: "button primary" }, h("span", {}, "Check"), h("small", {}, "nothing starts yet")),
    );
  }

  private input(field: Field): HTMLElement {
    const isNumber = field.quantity !== "text";
    const input = h("input", {
      id: `field-${field.key}`,
      type: "text",
      inputmode: isNumber ? (field.quantity === "temperature" ? "text" : "decimal") : "text",
      autocomplete: "off",
      value: this.typed.get(`${field.key}|${isNumber ? this.units : ""}`) ?? "",
      input: () => {
        this.type(`${field.key}|${isNumber ? this.units : ""}`, input.value);
      },
    });
    if (field.required) input.setAttribute("aria-required", "true");
    this.inputs.set(field.key, input);
    const unit = unitName(field, this.units);
    return this.field(field.key, `${field.label}${unit ? `, ${unit}` : ""}`, field.help, input, field.required ? "needed" : "");
  }

  private type(key: string, text: string): void {
    this.typed.set(key, text);
    saveTyped(this.typed);
    replace(this.ready);
  }

  /** What was chosen once, else what the length of the procedure asks for. */
  private showPresence(): void {
    const select = this.inputs.get("presence");
    if (select) select.value = this.typed.get("presence") ?? String(usualPresenceS(this.procedure?.stations_pa.length ?? 0));
  }

  private field(key: string, label: string, help: string, input: HTMLElement, tag: string): HTMLElement {
    input.setAttribute("aria-describedby", `help-${key} problem-${key}`);
    return h(
      "div",
      { class: "field" },
      h("label", { for: input.id }, label, tag ? h("small", {}, ` ${tag}`) : null),
      input,
      h("small", { id: `help-${key}` }, help),
      this.problemLine(key),
    );
  }

  private problemLine(key: string): HTMLElement {
    return h("p", { class: "complaint", id: `problem-${key}`, hidden: true });
  }

  private async choose(id: string): Promise<void> {
    this.typed.set("procedure", id);
    saveTyped(this.typed);
    replace(this.ready);
    try {
      this.procedure = await get<Procedure>(`/v1/procedures/${encodeURIComponent(id)}`);
    } catch (error) {
      replace(this.explained, h("p", { class: "complaint" }, wordsOf(error)));
      return;
    }
    replace(this.explained, ...explanation(this.procedure));
    this.showDirections(this.procedure);
    this.showPresence();
  }

  private showDirections(procedure: Procedure): void {
    const allowed = directions.filter(([id]) => (procedure.directions === "one" ? id !== "both" : procedure.directions === "both" ? id === "both" : true));
    const chosen = allowed.find(([id]) => id === this.typed.get("direction")) ?? allowed[0];
    replace(
      this.directionBox,
      ...allowed.map(([id, name, meaning]) =>
        h(
          "label",
          { class: "choice", for: `direction-${id}` },
          h("input", { type: "radio", name: "direction", id: `direction-${id}`, value: id, checked: id === chosen?.[0], change: () => this.typed.set("direction", id) }),
          h("span", {}, name, h("small", {}, meaning)),
        ),
      ),
    );
  }

  private body(isDry: boolean) {
    const typed = new Map<string, string>();
    for (const [key, input] of this.inputs) typed.set(key, input.value);
    const direction = this.directionBox.querySelector<HTMLInputElement>("input:checked")?.value ?? "depressurize";
    return runBody(this.typed.get("procedure") ?? "steady", direction, typed, this.units, isDry);
  }

  private submit(event: Event): void {
    event.preventDefault();
    void this.check();
  }

  private async check(): Promise<void> {
    this.clearProblems();
    try {
      await post("/v1/runs", this.body(true));
      saveTyped(this.typed);
      // A number of its own for each press, so that a lost answer can't start a second run.
      this.key = randomKey();
      const minutes = Math.ceil((this.procedure?.duration_most_s ?? 0) / 60);
      replace(
        this.ready,
        h("h2", {}, "All is in order"),
        h("p", {}, `${this.procedure?.title ?? ""}. Up to ${minutes} min, and what you take for your work. Nothing moves before the list is answered.`),
        button("Start the run", "primary", () => void this.startRun()),
      );
      this.ready.scrollIntoView({ block: "end" });
    } catch (error) {
      this.showProblems(error);
    }
  }

  private async startRun(): Promise<void> {
    try {
      await post("/v1/runs", this.body(false), { "Idempotency-Key": this.key });
      this.app.refreshSoon();
      location.hash = "#now";
    } catch (error) {
      this.showProblems(error);
    }
  }

  private clearProblems(): void {
    replace(this.ready);
    for (const line of this.element.querySelectorAll<HTMLElement>(".complaint")) line.hidden = true;
    for (const input of this.inputs.values()) input.removeAttribute("aria-invalid");
  }

  private showProblems(error: unknown): void {
    replace(this.ready);
    const problems: FieldProblem[] = error instanceof Refused ? error.problems : [{ code: "", detail: wordsOf(error) }];
    let first: HTMLElement | null = null;
    for (const problem of problems) {
      const key = problem.field ?? "";
      const line = document.getElementById(`problem-${key}`) ?? document.getElementById("problem-other");
      if (!line) continue;
      const label = [...buildingFields, ...conditionFields].find((field) => field.key === key)?.label ?? key;
      line.textContent = [problem.detail.replace(key, label), problem.hint].filter(Boolean).join(". ");
      line.hidden = false;
      const input = this.inputs.get(key);
      input?.setAttribute("aria-invalid", "true");
      first ??= input ?? line;
    }
    first?.focus();
    first?.scrollIntoView({ block: "center" });
  }
}
