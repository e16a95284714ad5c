/** Signals for ear and hand, beside the words. Browsers allow sound only after a first touch. */

export type Cue = "ask" | "tick" | "start" | "trip" | "lost" | "back" | "here";

interface Tone {
  hz: number;
  s: number;
}

const cues: Record<Cue, { tones: Tone[]; shake: number[] }> = {
  ask: { tones: [{ hz: 660, s: 0.15 }, { hz: 880, s: 0.25 }], shake: [120, 60, 120] },
  tick: { tones: [{ hz: 520, s: 0.1 }], shake: [60] },
  start: { tones: [{ hz: 1040, s: 0.4 }], shake: [300] },
  trip: { tones: [{ hz: 980, s: 0.22 }, { hz: 620, s: 0.22 }, { hz: 980, s: 0.22 }, { hz: 620, s: 0.3 }], shake: [400, 100, 400, 100, 400] },
  here: { tones: [{ hz: 784, s: 0.2 }, { hz: 784, s: 0.2 }, { hz: 988, s: 0.35 }], shake: [200, 100, 200, 100, 350] },
  lost: { tones: [{ hz: 330, s: 0.3 }, { hz: 247, s: 0.4 }], shake: [250, 100, 250] },
  back: { tones: [{ hz: 494, s: 0.15 }, { hz: 659, s: 0.2 }], shake: [80] },
};

export class Sound {
  private context: AudioContext | null = null;

  /** To be called from the handler of a touch. */
  unlock(): void {
    if (this.context) return;
    try {
      this.context = new AudioContext();
    } catch {
      this.context = null;
    }
  }

  play(cue: Cue): void {
    const { tones, shake } = cues[cue];
    // Before the first touch the browser refuses and warns, so it is not asked.
    if (this.context && "vibrate" in navigator) navigator.vibrate(shake);
    if (!this.context) return;
    void this.context.resume();
    let at = this.context.currentTime;
    for (const tone of tones) {
      this.beep(this.context, tone, at);
      at += tone.s;
    }
  }

  private beep(context: AudioContext, tone: Tone, at: number): void {
    const source = context.createOscillator();
    const gain = context.createGain();
    source.frequency.value = tone.hz;
    source.type = "triangle";
    gain.gain.setValueAtTime(0, at);
    gain.gain.linearRampToValueAtTime(0.4, at + 0.02);
    gain.gain.linearRampToValueAtTime(0, at + tone.s);
    source.connect(gain).connect(context.destination);
    source.start(at);
    source.stop(at + tone.s);
  }
}
