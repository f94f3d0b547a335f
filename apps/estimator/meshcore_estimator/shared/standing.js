// What stands in the fields and choices of a page: read, and made to stand again.

const FIELDS = '[class*="st-key-"] :is(input[type="text"], input[type="number"], textarea)';
const CHOICES = '[class*="st-key-"] :is([role="radiogroup"], [role="toolbar"])';
const TICKED = '[class*="st-key-"] input[type="checkbox"]';
// Fields of the app's own, in which the page tells it what it shows and what a hand has changed.
const SHOWN = ".st-key-settling_shown input";
const HANDS = ".st-key-settling_hands input";
const OWN = `${SHOWN}, ${HANDS}`;

// Of a field or button, the mark of the key that it has in the app.
const keyOf = (control) =>
  [...(control.closest('[class*="st-key-"]')?.classList ?? [])].find((name) =>
    name.startsWith("st-key-"));
const nameOf = (field) => `${keyOf(field)} ${field.getAttribute("aria-label")}`;

const write = (field, text) => {
  Object.getOwnPropertyDescriptor(Object.getPrototypeOf(field), "value").set.call(field, text);
  field.dispatchEvent(new Event("input", { bubbles: true }));
};
const leave = (field) => field.dispatchEvent(new FocusEvent("focusout", { bubbles: true }));

const isOn = (button) =>
  (button.getAttribute("aria-checked") ?? button.getAttribute("aria-pressed")) === "true";
const buttons = (group) => [...group.querySelectorAll("button")];
const chosen = (group) => buttons(group).filter(isOn).map((button) => button.innerText);
const controls = (wanted) => [...document.querySelectorAll(wanted)];
const fields = () => controls(FIELDS).filter((field) => !field.matches(OWN));
const chosenIn = (control) => control.matches(TICKED) ? control.checked : chosen(control);
const holding = () => new Map([
  ...fields().map((field) => [nameOf(field), field.value]),
  ...controls(TICKED).map((box) => [nameOf(box), box.checked]),
  ...controls(CHOICES).map((group) => [nameOf(group), chosen(group)]),
]);

// Make choices again where they stand otherwise: true where one was, as fields may come with it.
const chooseAgain = (wanted) => {
  let isNew = false;
  for (const box of controls(TICKED)) {
    const meant = wanted.get(nameOf(box));
    if (meant !== undefined && meant !== box.checked) (isNew = true), box.click();
  }
  for (const group of controls(CHOICES)) {
    const meant = wanted.get(nameOf(group));
    if (!meant) continue;
    const other = buttons(group).filter((one) => isOn(one) !== meant.includes(one.innerText));
    // Of buttons of which one is on, the one that is wanted puts the other out.
    const only = meant.length && group.matches('[role="radiogroup"]');
    for (const button of other.filter((one) => !only || !isOn(one))) {
      isNew = true;
      button.click();
    }
  }
  return isNew;
};

// The same of texts; `enter` takes what is written into a list to choose from.
const writeAgain = (wanted, enter) => {
  let isNew = false;
  for (const field of fields()) {
    const text = wanted.get(nameOf(field));
    if (text === undefined || field.value === text) continue;
    isNew = true;
    write(field, text);
    if (field.matches('[role="combobox"]')) enter(field);
    else leave(field);
  }
  return isNew;
};
