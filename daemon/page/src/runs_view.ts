/** Past runs: the list, and one of them in full. */

import type { App } from "./app";
import { h, Keyed, replace } from "./dom";
import { dayAndTime } from "./figures";
import { goOnSection } from "./go_on_part";
import { get, Refused, wordsOf } from "./http";
import type { Part } from "./part";
import { stateWords } from "./result_figures";
import { resultPage } from "./result_page";
import type { State } from "./store";
import type { Result, RunEntry } from "./types";
import type { Units } from "./units";

export class RunsView implements Part {
  readonly element = h("main", { class: "runs", id: "main" });
  private readonly keyed = new Keyed(this.element);
  private units: Units = "metric";
  private runId: string | null = null;
  private entry: RunEntry | null = null;
  private result: Result | null = null;
  private complaint: string | null = null;
  private entries: RunEntry[] | null = null;

  constructor(private readonly app: App) {}

  update({ settings }: State): void {
    this.units = settings.units;
    this.show();
  }

  async opened(runId: string | null): Promise<void> {
    this.runId = runId;
    this.result = null;
    this.complaint = null;
    this.entry = null;
    this.entries = null;
    this.show();
    try {
      await (runId === null ? this.loadList() : this.loadRun(runId));
    } catch (error) {
      this.complaint = wordsOf(error);
    }
    this.show();
  }

  private async loadList(): Promise<void> {
    const { runs } = await get<{ runs: RunEntry[] }>("/v1/runs");
    this.entries = runs.sort((a, b) => b.started_at.localeCompare(a.started_at) || b.run_id.localeCompare(a.run_id));
  }

  private async loadRun(runId: string): Promise<void> {
    const path = `/v1/runs/${encodeURIComponent(runId)}`;
    this.entry = await get<RunEntry>(path);
    try {
      this.result = await get<Result>(`${path}/result`);
    } catch (error) {
      if (!(error instanceof Refused && error.status === 409)) throw error;
      this.complaint = error.message;
    }
  }

  private show(): void {
    const key = [this.runId, this.units, this.complaint, this.entry?.run_id, this.result?.run_id, this.entries?.length ?? -1];
    this.keyed.show(key, () => (this.runId === null ? this.list() : this.one()));
  }

  private list(): HTMLElement[] {
    const title = h("h1", {}, "Runs");
    if (this.complaint) return [title, h("p", { class: "complaint", role: "alert" }, this.complaint)];
    if (!this.entries) return [title, h("p", {}, "Reading the recordings…")];
    if (this.entries.length === 0) return [title, h("p", {}, "Nothing has been recorded yet."), h("a", { class: "button primary", href: "#start" }, "Start a run")];
    const rows = this.entries.map((run) =>
      h(
        "li",
        {},
        h(
          "a",
          { href: `#runs/${run.run_id}`, class: "row" },
          h("strong", {}, run.building || "By hand"),
          h("span", {}, `${dayAndTime(run.started_at)}, ${run.procedure || "no procedure"}`),
          h("span", {}, run.readable ? stateWords(run.state) : "can't be read"),
        ),
      ),
    );
    return [title, h("ul", { class: "rows" }, ...rows)];
  }

  private goOn(): HTMLElement | null {
    if (!this.entry || this.app.store.state.session?.role === "viewer") return null;
    return goOnSection(this.entry, () => {
      this.app.refreshSoon();
      location.hash = "#now";
    });
  }

  private one(): (HTMLElement | null)[] {
    const back = h("a", { href: "#runs", class: "back" }, "‹ All runs");
    if (this.result && this.entry) {
      const page = h("div", { class: "result" });
      replace(page, ...resultPage(this.entry, this.result, this.units));
      return [back, this.goOn(), page];
    }
    const title = h("h1", {}, this.entry?.building || this.runId || "");
    const words = this.complaint ?? "Reading the result…";
    return [back, title, this.entry ? h("p", {}, `${dayAndTime(this.entry.started_at)}: ${stateWords(this.entry.state)}.`) : h("p", {}), h("p", {}, words), this.goOn()];
  }
}
