// The frame: empty store, wrong addresses, a token, a server that is gone; and that the watching works.

import { writeFile } from "node:fs/promises";
import { join } from "node:path";
import { Served } from "../served.mjs";
import { PHONE, Watched } from "../watched.mjs";

const MUST_FIND = ["console: on purpose", "a request for https://example.invalid", "px wide", "axe-core"];

export async function frame(world) {
  const { test, output } = world;

  await test("planted faults are found", {}, async (watched, page) => {
    const other = await Watched.open(world.from, world.served.url, output);
    await other.go("/jobs");
    await other.page.evaluate(() => {
      console.error("on purpose");
      document.querySelector("main").innerHTML = '<h1>one</h1><div class="wide-thing">x</div><img src="https://example.invalid/a.png">';
      document.querySelector(".wide-thing").style.width = "3000px";
    });
    await other.look("planted");
    const seen = (await other.close()).join("\n");
    for (const text of MUST_FIND) if (!seen.includes(text)) watched.note(`not found: ${text}`);
    await page.goto("about:blank");
  });

  for (const dark of [false, true]) {
    const name = `empty store, ${dark ? "dark phone" : "light desktop"}`;
    await test(name, dark ? { size: PHONE, dark } : {}, async (watched, page) => {
      await watched.go("/jobs");
      await page.getByText("No job yet").waitFor();
      await watched.look(dark ? "empty-phone-dark" : "empty");
    });
  }

  await test("an address where nothing is", {}, async (watched, page) => {
    await watched.go("/nowhere");
    await page.getByRole("heading", { name: "Nothing here" }).waitFor();
    watched.expect(/404/);
    await watched.go("/jobs/00f1e2d3c4b5a697");
    await page.getByText("00f1e2d3c4b5a697").first().waitFor();
    await page.getByRole("button", { name: "Try again" }).waitFor();
    await watched.look("missing");
  });

  const token = "a-token-of-the-tests-own";
  const file = join(output, "token");
  await writeFile(file, token);
  const guarded = await Served.start(world.program, 1, ["--token-file", file]);
  try {
    await test("a server with a token", { url: guarded.url }, async (watched, page) => {
      watched.expect(/401/);
      await watched.go("/jobs");
      await watched.look("token");
      await page.getByRole("textbox", { name: "Token" }).fill(token).catch(() => page.getByLabel("Token").fill(token));
      await page.getByRole("button", { name: "Enter" }).click();
      await page.getByText("No job yet").waitFor();
    });
  } finally {
    await guarded.stop();
  }

  await test("a server that is gone is told, and found again", {}, async (watched, page) => {
    watched.expect(/ERR_|Failed to load/);
    await watched.go("/jobs");
    await page.context().setOffline(true);
    await page.evaluate(() => dispatchEvent(new HashChangeEvent("hashchange")));
    await page.getByText("The server does not answer").first().waitFor();
    await page.context().setOffline(false);
    await page.getByRole("button", { name: "Try again" }).click();
    await page.getByRole("heading", { name: "Jobs", exact: true }).waitFor();
  });
}
