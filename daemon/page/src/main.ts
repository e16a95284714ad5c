/** Puts the page together and keeps it drawn. */

import { App } from "./app";
import { Commands } from "./commands";
import { Shell } from "./shell";
import "uplot/dist/uPlot.min.css";
import "./app.css";

const app = new App();
const commands = new Commands(app);
const shell = new Shell(app, commands);

document.body.append(shell.element);
document.addEventListener("pointerdown", () => app.sound.unlock(), { once: true });
for (const touch of ["pointerdown", "keydown"]) document.addEventListener(touch, () => commands.touched(), { capture: true, passive: true });
void app.start();
shell.run();
