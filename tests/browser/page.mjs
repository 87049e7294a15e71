// The page in a real Chromium, over a real server with real jobs: every way through jobs and fronts, at
// desktop and phone width, light and dark, by mouse and by keyboard alone. No console message, no request
// that leaves the machine, nothing that axe-core finds, no sideways scrolling.
//
//   node tests/browser/page.mjs LEANWRIGHT OUTPUT-FOLDER [NAME...]
//
// NAME runs only the cases whose name contains it. CHROMIUM names the browser.

import { mkdir } from "node:fs/promises";
import { fronts } from "./page/fronts.mjs";
import { frame } from "./page/frame.mjs";
import { garage } from "./page/garage.mjs";
import { jobs } from "./page/jobs.mjs";
import { layouts } from "./page/layouts.mjs";
import { machine } from "./page/machine.mjs";
import { writing } from "./page/writing.mjs";
import { Served, demo } from "./served.mjs";
import { Cases, Watched, browser } from "./watched.mjs";

const [program, output, ...only] = process.argv.slice(2);
await mkdir(output, { recursive: true });
const from = await browser();
const served = await Served.start(program);
const cases = new Cases();
const wanted = (name) => only.length === 0 || only.some((part) => name.includes(part));

// What the cases share: a server, a way to open a page on it, and jobs that are done.
const world = {
  served, program, output, from,
  open: (options, url = served.url) => () => Watched.open(from, url, output, options),
  async test(name, options, body) {
    if (wanted(name)) await cases.run(name, world.open(options, options.url), body);
  },
  post: async (path, document) => JSON.parse(await served.post(path, document)),
  // The first candidate of a job that is done, with the job's file; searched once.
  async candidate() {
    world.searched ??= await served.search(await demo("zero-scrub.json", { evaluations: 4000, islands: 1, seed: 5 }));
    const job = world.searched;
    return { job, file: await served.json(`/v1/jobs/${job}/input`), candidate: await served.json(`/v1/jobs/${job}/candidates/0`) };
  },
  small: (search) => demo("rod-ends.json", { evaluations: 10_000, islands: 2, seed: 3, ...search }),
};
try {
  for (const group of [frame, writing, jobs, fronts, machine, layouts, garage]) await group(world);
} finally {
  await from.close();
  await served.stop();
}
cases.end();
