// A list that takes new entries offers first, and marked, to add what is typed, even where that is
// one of its own: "Add: 316" above "316 · S31600". Where one of the names of a choice is what is
// typed, the offer to add it is put away, and the mark goes to the choice.

const OFFER = '[role="option"][data-key="__creatable__"]';
const FIELD = '[role="combobox"][aria-expanded="true"]';
// Parts the names of one choice.
const BETWEEN = " · ";

function begin() {
  const fold = (text) => text.trim().toLowerCase();
  const names = (option) => [option.innerText, ...option.innerText.split(BETWEEN)].map(fold);

  // An arrow is what the list itself goes from one choice to the next by. It is no hand's: a choice
  // that a hand went to is entered whatever stands in the field.
  const goOn = (field) => {
    const byHand = field.dataset.mcTyped;
    field.dispatchEvent(new KeyboardEvent("keydown", {
      key: "ArrowDown", code: "ArrowDown", bubbles: true, cancelable: true,
    }));
    if (byHand) field.dataset.mcTyped = byHand;
  };

  const look = () => {
    const offer = document.querySelector(OFFER);
    const field = document.activeElement;
    if (!offer || !field?.matches?.(FIELD)) return;
    const typed = fold(field.value);
    const [first, ...others] = [...offer.parentElement.querySelectorAll('[role="option"]')]
      .filter((option) => option !== offer);
    const isKnown = Boolean(typed && first && names(first).includes(typed));
    if (offer.hidden !== isKnown) offer.hidden = isKnown;
    // What else the hand has gone to meanwhile is meant.
    if (isKnown && ![first, ...others].some((option) => option.hasAttribute("data-focused"))) {
      goOn(field);
    }
  };
  new MutationObserver(look).observe(document.body, {
    subtree: true, childList: true, characterData: true,
    attributes: true, attributeFilter: ["data-focused", "aria-expanded"],
  });
  return look;
}

export default function () {
  window.meshcoreKnownFirst ??= begin();
  window.meshcoreKnownFirst();
}
