// What stands on the page, for those who hear it rather than see it.
//
// A note below a field says which fields it is of. The fields are marked as refused and bound to the
// note here, since a page's fields cannot be told so from where they are made. The first figure of
// an answer is announced whenever it is another one. A text that scrolls inside its box can be
// reached by the keyboard.

const NOTES = ".mc-note[data-fields]";
const INPUTS = "input, textarea";
const TEXTS = ".stCode pre";
const ANSWERS = ".st-key-headline, .st-key-list_totals, .st-key-letter_totals";
// Long enough that a number which changes with each letter typed is said once [ms].
const REST = 900;

function begin() {
  const line = document.createElement("div");
  line.className = "mc-unseen";
  line.setAttribute("role", "status");
  line.setAttribute("aria-live", "polite");
  document.body.append(line);

  const bound = new Map();
  const set = (field, name, value) => {
    if (field.getAttribute(name) !== value) field.setAttribute(name, value);
  };
  const bind = () => {
    const now = new Map();
    for (const note of document.querySelectorAll(NOTES)) {
      for (const name of note.dataset.fields.split(" ")) {
        for (const field of document.querySelectorAll(`.st-key-field_${CSS.escape(name)} :is(${INPUTS})`)) {
          if (!now.has(field)) now.set(field, note);
        }
      }
    }
    for (const [field, note] of now) {
      set(field, "aria-describedby", note.id);
      if (note.classList.contains("mc-refused")) set(field, "aria-invalid", "true");
    }
    for (const field of bound.keys()) {
      if (!now.get(field)?.classList.contains("mc-refused")) field.removeAttribute("aria-invalid");
      if (!now.has(field)) field.removeAttribute("aria-describedby");
    }
    bound.clear();
    now.forEach((note, field) => bound.set(field, note));
  };

  let said = null;
  let due = 0;
  const announce = () => {
    const figure = document.querySelector(ANSWERS)?.querySelector(".mc-figure");
    const words = figure && [".mc-label", ".mc-value"]
      .map((part) => figure.querySelector(part)?.textContent ?? "").join(": ");
    if (!words || words === said) return;
    clearTimeout(due);
    // What stands there when the page is opened is read with the page.
    due = setTimeout(() => {
      if (said !== null) line.textContent = words;
      said = words;
    }, REST);
  };

  const reach = () => {
    for (const text of document.querySelectorAll(TEXTS)) set(text, "tabindex", "0");
  };

  const look = () => {
    bind();
    announce();
    reach();
  };
  new MutationObserver(look).observe(document.body, {
    subtree: true, childList: true, characterData: true,
  });
  return look;
}

export default function () {
  window.meshcoreAloud ??= begin();
  window.meshcoreAloud();
}
