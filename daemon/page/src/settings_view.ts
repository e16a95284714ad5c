/** Units, look, sound, and who may command. */

import type { App } from "./app";
import type { Commands } from "./commands";
import { button, h, Keyed } from "./dom";
import { duration } from "./figures";
import type { Part } from "./part";
import type { Settings, State } from "./store";

type Choice = [value: string, name: string, meaning: string];

const units: Choice[] = [
  ["metric", "Metric", "m³/h, m², °C"],
  ["si", "SI", "L/s, m², °C"],
  ["ip", "Inch-pound", "cfm, ft², °F"],
];
const themes: Choice[] = [
  ["auto", "As the device", "light by day, dark by night"],
  ["light", "Light", "for the sun"],
  ["dark", "Dark", "for the cellar"],
];

export class SettingsView implements Part {
  readonly element = h("main", { class: "settings", id: "main" });
  private readonly choices = new Keyed(h("div", {}));
  private readonly helm = new Keyed(h("section", { class: "helm" }));

  constructor(
    private readonly app: App,
    private readonly commands: Commands,
  ) {
    this.element.append(h("h1", {}, "Settings"), this.choices.element, this.helm.element);
  }

  async opened(): Promise<void> {
    await this.app.refreshSession().catch(() => undefined);
  }

  update(state: State): void {
    const { settings } = state;
    this.choices.show(settings, () => [
      this.group("Units", "units", units, settings.units),
      this.group("Look", "theme", themes, settings.theme),
      h(
        "fieldset",
        {},
        h("legend", {}, "Sound and vibration"),
        h("label", { class: "choice", for: "sound" }, h("input", { id: "sound", type: "checkbox", checked: settings.sound, change: (event) => this.app.store.saveSettings({ sound: (event.target as HTMLInputElement).checked }) }), h("span", {}, "Signals on", h("small", {}, "asks, countdown, trip, lost connection"))),
        button("Try the alarm", "plain", () => this.app.sound.play("trip")),
      ),
    ]);
    this.showHelm(state);
  }

  private showHelm({ session, status, complaint }: State): void {
    const holder = status?.helm?.holder ?? session?.helm.holder ?? null;
    const silent = Math.round(status?.helm?.silent_s ?? 0);
    this.helm.show([session?.identity, session?.role, holder, silent, complaint, status?.rig, status?.version, status?.silence_stop?.text], () => {
      if (!session) return [];
      const isMine = holder === session.identity;
      const who = holder === null ? "Nobody is at the helm: the first command takes it." : isMine ? "You are at the helm." : `${holder} is at the helm${silent > 3 ? `, silent for ${duration(silent)}` : ""}.`;
      const to = h("input", { id: "helm-to", type: "text", autocomplete: "off", autocapitalize: "none" });
      const give = [h("label", { for: "helm-to" }, "Hand it over to"), to, button("Hand over", "plain", () => void this.commands.giveHelm(to.value.trim()))];
      const take = button("Take the helm", "plain", () => void this.commands.takeHelm());
      const canCommand = session.role === "operator";
      return [
        h("h2", {}, "Who commands"),
        h("p", {}, `You are ${session.identity}, ${canCommand ? "an operator" : "looking on"}. ${who}`),
        h("p", { class: "meaning" }, `One commands at a time; anyone who is an operator can stop and answer. After ${session.helm.freed_after_s} s without a sign the helm is free.`),
        complaint ? h("p", { class: "complaint", role: "alert" }, complaint) : null,
        ...(canCommand ? (isMine ? give : [take]) : []),
        button("Log out", "plain", () => void this.app.leave(), "this device needs its token again"),
        h("p", { class: "meaning" }, `Rig ${status?.rig ?? "not known"}. Leeward ${status?.version ?? ""}`),
        status?.silence_stop ? h("p", { class: "meaning" }, status.silence_stop.text) : null,
      ];
    });
  }

  private group(title: string, name: keyof Settings, choices: Choice[], chosen: string): HTMLElement {
    const rows = choices.map(([value, text, meaning]) =>
      h(
        "label",
        { class: "choice", for: `${name}-${value}` },
        h("input", { type: "radio", name, id: `${name}-${value}`, value, checked: value === chosen, change: () => this.app.store.saveSettings({ [name]: value }) }),
        h("span", {}, text, h("small", {}, meaning)),
      ),
    );
    return h("fieldset", {}, h("legend", {}, title), h("div", { class: "choices" }, ...rows));
  }
}
