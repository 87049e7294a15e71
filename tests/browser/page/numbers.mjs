// Numbers of the page beside those of the HTTP interface.

export const minus = (text) => text.replace("−", "-");
export const number = (text) => Number.parseFloat(minus(text));

// The cells of the table with this caption, row by row.
export const cells = (page, caption) => page.locator("table", { has: page.locator("caption", { hasText: caption }) }).locator("tbody tr")
  .evaluateAll((rows) => rows.map((row) => [...row.children].map((cell) => cell.textContent.trim())));

export function same(watched, name, is, wanted) {
  if (JSON.stringify(is) !== JSON.stringify(wanted)) watched.note(`${name}: ${JSON.stringify(is)} and not ${JSON.stringify(wanted)}`);
}

// A figure as the page shows it is the interface's, rounded.
export function near(watched, name, shown, exact, slack = 0.06) {
  if (!(Math.abs(number(shown) - exact) <= slack)) watched.note(`${name}: ${shown} and not ${exact}`);
}

// Reads again until it holds, and gives what was read last.
export async function settled(read, holds) {
  for (let k = 0; ; k += 1) {
    const found = await read();
    if (holds(found) || k === 100) return found;
    await new Promise((done) => setTimeout(done, 100));
  }
}
