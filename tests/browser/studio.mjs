// studio.mjs: the program itself, serving a new studio in a folder of its own.
// Knows how it is started, where it listens, the first coach's link. Leaves to others: what is done there.
import { spawn } from "node:child_process";
import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";

const PROGRAM = process.env.THEW ?? join(process.env.THEW_BUILD, "cli/thew");

/** Start it. `origin` is where it serves, `link` the first coach's one-time link; close() ends it and removes the folder. */
export async function serveStudio() {
  const folder = await mkdtemp(join(tmpdir(), "thew-browser-"));
  const child = spawn(PROGRAM, ["serve", "--studio", join(folder, "studio.thew"), "--port", "0"], {
    stdio: ["ignore", "pipe", "pipe"],
  });
  let said = "";
  const ready = new Promise((resolve, reject) => {
    const read = (data) => {
      said += data;
      const origin = /http:\/\/\S+?(?=\/\s)/.exec(said)?.[0];
      const link = /http:\/\/\S+\/welcome#\S+/.exec(said)?.[0];
      if (origin && link) resolve({ origin, link });
    };
    child.stdout.on("data", read);
    child.stderr.on("data", read);
    child.on("exit", (status) => reject(new Error(`thew serve ended with ${status}: ${said}`)));
    setTimeout(() => reject(new Error(`thew serve does not say where it serves: ${said}`)), 20_000).unref();
  });
  const stop = async () => {
    if (child.exitCode === null) {
      const ended = new Promise((done) => child.once("exit", done));
      child.kill("SIGTERM");
      await ended;
    }
    await rm(folder, { recursive: true, force: true });
  };
  try {
    return { ...(await ready), process: child, said: () => said, close: stop };
  } catch (error) {
    await stop();
    throw error;
  }
}
