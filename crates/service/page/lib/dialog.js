// Questions before something that cannot be taken back, or that needs a number.

import { fresh, h } from "./dom.js";
import { notice } from "./fault.js";

/**
 * Asks, and does it. The dialog stays open with the server's words when it is refused.
 * @template T
 * @param {{
 *   title: string, text: string, action: string, grave?: boolean,
 *   field?: { label: string, value: string, hint?: string, type?: string, min?: number, max?: number },
 *   run: (value: string) => Promise<T>,
 * }} question
 * @returns {Promise<T | undefined>} what was done, or nothing when the reader thought better of it
 */
export function question({ title, text, action, grave, field, run }) {
  const [heading, id, hint] = [fresh("dialog"), fresh("field"), fresh("hint")];
  const input = field && h("input", {
    id, type: field.type ?? "text", value: field.value, required: true, min: field.min, max: field.max,
    "aria-describedby": field.hint ? hint : null, autocomplete: "off",
  });
  const said = h("div", {});
  const go = h("button", { class: grave ? "grave" : "main" }, action);
  const dialog = h("dialog", { "aria-labelledby": heading });
  return new Promise((done) => {
    const submit = async (/** @type {Event} */ event) => {
      event.preventDefault();
      go.disabled = true;
      try {
        const result = await run(input?.value ?? "");
        done(result);
        dialog.close();
      } catch (error) {
        said.replaceChildren(notice(error));
        go.disabled = false;
      }
    };
    dialog.append(h("form", { class: "stack", onsubmit: submit },
      h("h2", { id: heading }, title), h("p", {}, text),
      field && input ? h("div", { class: "stack" }, h("label", { for: id }, field.label), input,
        field.hint ? h("span", { id: hint, class: "soft small" }, field.hint) : "") : "",
      said,
      h("div", { class: "row" }, go, h("button", { type: "button", onclick: () => dialog.close() }, "Leave it"))));
    dialog.addEventListener("close", () => {
      dialog.remove();
      done(undefined);
    });
    document.body.append(dialog);
    dialog.showModal();
  });
}
