// A leanwright server of the test's own, over a store in a folder of its own.

import { spawn } from "node:child_process";
import { mkdtemp, readFile, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { createInterface } from "node:readline";

export class Served {
  static async start(program, workers = 1, more = []) {
    const folder = await mkdtemp(join(tmpdir(), "leanwright-browser-"));
    const child = spawn(
      program,
      ["serve", "--json", "--listen", "127.0.0.1:0", "--store", join(folder, "store.sqlite"),
        "--workers", String(workers), ...more],
      { stdio: ["ignore", "pipe", "inherit"] },
    );
    const lines = createInterface({ input: child.stdout });
    for await (const line of lines) {
      const served = new Served();
      Object.assign(served, { child, folder, url: JSON.parse(line).listening });
      return served;
    }
    throw new Error("the server did not say where it listens");
  }

  async stop() {
    const ended = new Promise((resolve) => this.child.once("exit", resolve));
    this.child.kill();
    await ended;
    await rm(this.folder, { recursive: true });
  }

  async json(path) {
    const answer = await fetch(this.url + path, { headers: { Accept: "application/json" } });
    if (!answer.ok) throw new Error(`GET ${path}: ${answer.status} ${await answer.text()}`);
    return answer.json();
  }

  async post(path, document, accept = "application/json") {
    const answer = await fetch(this.url + path, {
      method: "POST",
      headers: { "Content-Type": "application/json", Accept: accept },
      body: JSON.stringify(document),
    });
    const text = await answer.text();
    if (!answer.ok) throw new Error(`POST ${path}: ${answer.status} ${text}`);
    return text;
  }

  // Submits a job and waits until it is done.
  async search(job) {
    const { id } = JSON.parse(await this.post("/v1/jobs", job));
    for (;;) {
      const { state } = await this.json(`/v1/jobs/${id}`);
      if (state === "done") return id;
      if (state === "failed" || state === "cancelled") throw new Error(`the job is ${state}`);
      await new Promise((resolve) => setTimeout(resolve, 200));
    }
  }
}

// A demo job with another search.
export async function demo(name, search) {
  const text = await readFile(new URL(`../../demo-jobs/${name}`, import.meta.url), "utf8");
  const job = JSON.parse(text);
  Object.assign(job.search, search);
  return job;
}
