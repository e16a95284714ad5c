/** Requests to the daemon, and what it says when it refuses. */

import type { FieldProblem } from "./types";

const answerWithinMs = 8000;

export class Refused extends Error {
  constructor(
    readonly status: number,
    readonly code: string,
    readonly problems: FieldProblem[],
  ) {
    super(problems.map((p) => p.detail + (p.hint ? ` ${p.hint}.` : "")).join(" "));
  }
}

/** The daemon did not answer at all. */
export class Unreachable extends Error {}

interface ProblemDocument extends FieldProblem {
  errors?: FieldProblem[];
}

async function refusalOf(response: Response): Promise<Refused> {
  try {
    const document = (await response.json()) as ProblemDocument;
    return new Refused(response.status, document.code, document.errors ?? [document]);
  } catch {
    return new Refused(response.status, "unknown", [{ code: "unknown", detail: `The daemon answered ${response.status}.` }]);
  }
}

async function send<T>(method: string, path: string, body?: unknown, headers: Record<string, string> = {}): Promise<T> {
  const abort = new AbortController();
  const timer = setTimeout(() => abort.abort(), answerWithinMs);
  const init: RequestInit = { method, headers, signal: abort.signal, credentials: "same-origin", cache: "no-store" };
  if (body !== undefined) {
    init.body = JSON.stringify(body);
    init.headers = { "Content-Type": "application/json", ...headers };
  }
  try {
    const response = await fetch(path, init).catch(() => {
      throw new Unreachable("The daemon does not answer.");
    });
    if (!response.ok) throw await refusalOf(response);
    if (response.status === 204) return undefined as T;
    return (await response.json()) as T;
  } finally {
    clearTimeout(timer);
  }
}

export const get = <T>(path: string) => send<T>("GET", path);
export const post = <T>(path: string, body: unknown, headers?: Record<string, string>) => send<T>("POST", path, body, headers);
export const remove = (path: string) => send<void>("DELETE", path);

export function wordsOf(error: unknown): string {
  if (error instanceof Refused || error instanceof Unreachable) return error.message;
  return error instanceof Error ? `This page failed: ${error.message}` : "This page failed.";
}
