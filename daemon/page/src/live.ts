/** The WebSocket to the daemon: opened again whenever it is lost, from where it was cut off. */

import type { LiveMessage } from "./types";

/** Readings come ten times a second, so this long without any is a lost connection. */
const silenceMs = 1500;
const hereEveryMs = 3000;
const firstWaitMs = 500;
const longestWaitMs = 3000;

export interface LiveEvents {
  message(message: LiveMessage): void;
  /** @param again it was open before, so that something may have been missed */
  opened(again: boolean): void;
  lost(): void;
}

export class Live {
  private socket: WebSocket | null = null;
  private lastId = 0;
  private lastWordMs = 0;
  private waitMs = firstWaitMs;
  private wasOpen = false;
  private closed = false;
  private retry = 0;
  private timers: number[] = [];

  constructor(private readonly events: LiveEvents) {}

  start(): void {
    this.closed = false;
    this.connect();
    this.timers.push(window.setInterval(() => this.watch(), 250));
    this.timers.push(window.setInterval(() => this.sendText({ type: "here" }), hereEveryMs));
    window.addEventListener("online", () => this.reconnectNow());
    document.addEventListener("visibilitychange", () => {
      if (!document.hidden && !this.socket) this.reconnectNow();
    });
  }

  stop(): void {
    this.closed = true;
    for (const timer of this.timers) clearInterval(timer);
    this.timers = [];
    this.drop();
  }

  /** @returns whether it could be given to the socket */
  sendText(message: unknown): boolean {
    if (this.socket?.readyState !== WebSocket.OPEN) return false;
    this.socket.send(JSON.stringify(message));
    return true;
  }

  private connect(): void {
    if (this.closed || this.socket) return;
    const scheme = location.protocol === "https:" ? "wss:" : "ws:";
    const after = this.lastId > 0 ? `?after=${this.lastId}` : "";
    const socket = new WebSocket(`${scheme}//${location.host}/v1/live${after}`);
    this.socket = socket;
    this.lastWordMs = Date.now();
    socket.onmessage = (event) => {
      if (socket === this.socket) this.receive(String(event.data));
    };
    socket.onclose = () => {
      if (socket === this.socket) this.fail();
    };
  }

  private receive(text: string): void {
    const message = JSON.parse(text) as LiveMessage;
    this.lastWordMs = Date.now();
    if (message.id > this.lastId) this.lastId = message.id;
    if (message.event === "status") {
      // Only now is it known that the daemon itself speaks, not something between.
      this.waitMs = firstWaitMs;
      this.events.opened(this.wasOpen);
      this.wasOpen = true;
    }
    this.events.message(message);
  }

  private watch(): void {
    if (this.socket && Date.now() - this.lastWordMs > silenceMs) this.fail();
  }

  private drop(): void {
    const socket = this.socket;
    this.socket = null;
    if (socket) {
      socket.onclose = null;
      socket.onmessage = null;
      socket.close();
    }
  }

  private fail(): void {
    this.drop();
    if (this.closed) return;
    this.events.lost();
    clearTimeout(this.retry);
    this.retry = window.setTimeout(() => this.connect(), this.waitMs);
    this.waitMs = Math.min(longestWaitMs, this.waitMs * 1.6);
  }

  private reconnectNow(): void {
    if (this.closed || this.socket) return;
    clearTimeout(this.retry);
    this.connect();
  }
}
