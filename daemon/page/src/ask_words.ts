/** Asks in large words; the daemon's own text stays beside them as the exact one. */

import type { Ask } from "./types";

export interface AskWords {
  kicker: string;
  title: string;
  body: string;
  caution: string;
  answers: Record<string, string>;
  /** Of a list: which item, of how many; 0 where it is no list. */
  number: number;
  total: number;
}

const startsAfter = "The fan is off. It starts after your answer and a countdown.";

function listWords(ask: Ask): AskWords {
  const parts = /^\D+(\d+) of (\d+): (.*)$/s.exec(ask.text);
  const [, number = "0", total = "0", item = ask.text] = parts ?? [];
  const name = ask.list === "restore" ? "Putting back" : "Preparing";
  // The first sentence is what is done, what follows is why and how.
  const sentence = /^(.*?[.:?])\s+(.*)$/s.exec(item);
  return {
    kicker: parts ? `${name}, ${number} of ${total}` : name,
    title: sentence?.[1] ?? item,
    body: sentence?.[2] ?? "",
    caution: "",
    answers: { done: "Done", not_applicable: "Does not apply here" },
    number: Number(number),
    total: Number(total),
  };
}

export function askWords(ask: Ask): AskWords {
  const fan = ask.fan && ask.fan > 1 ? `fan ${ask.fan}` : "the fan";
  const plain = { body: ask.text, caution: "", number: 0, total: 0 };
  switch (ask.kind) {
    case "checklist":
      return listWords(ask);
    case "cover_fan":
      return { ...plain, kicker: "Please do", title: `Cover ${fan}`, body: "No air may pass it. The fan is off.", answers: { done: "It is covered" } };
    case "uncover_fan":
      return {
        ...plain,
        kicker: "Please do",
        title: `Take the cover off ${fan}`,
        body: "Keep clear of the wheel.",
        caution: startsAfter,
        answers: { done: "The cover is off" },
      };
    case "fit_restriction":
      return {
        ...plain,
        kicker: "Please do",
        title: `Fit ${ask.restriction ?? "the restriction"}`,
        body: promise(ask.text),
        caution: startsAfter,
        answers: { done: `${ask.restriction ?? "It"} is fitted`, keep: "Keep what is fitted" },
      };
    case "look_round":
      return {
        ...plain,
        kicker: "Walk through the building",
        title: "Is all well?",
        answers: { done: "All is well", stop: "No, stop the fan" },
      };
    case "turn_fan":
      return {
        ...plain,
        kicker: "Please do",
        title: `Turn ${fan} to blow ${ask.direction === "pressurize" ? "into" : "out of"} the building`,
        body: "The fan is off.",
        answers: { done: "It is turned" },
      };
    default:
      return { ...plain, kicker: "Please do", title: ask.kind, answers: { done: "Done" } };
  }
}

/** What the restriction is expected to do, without the orders around it. */
function promise(text: string): string {
  const from = text.indexOf("The fan is off.");
  const to = text.indexOf(" Answer keep");
  return from < 0 ? text : text.slice(from + "The fan is off.".length, to < 0 ? undefined : to).trim();
}
