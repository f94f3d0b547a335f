// What a person does, and what the app has done with it, brought into step.
//
// Streamlit reads a page's fields when a message reaches it, throws a page's fields away when a
// link is followed, and makes a file from the run before the click. So a link or a download that
// is clicked while something typed is still under way is held here, what is typed is sent with a
// number, and the click is made once the app has answered that number. A button is held likewise:
// what it is to do was laid down when the page was drawn, from what stood there then.

const LINKS = '[data-testid="stTopNavLink"], [data-testid="stTopNavDropdownLink"], ' +
  '[data-testid="stSidebarNavLink"]';
const DOWNLOADS = '[data-testid="stDownloadButton"] button';
const BUTTONS = '[data-testid="stButton"] button';
const CLICKABLE = `${LINKS}, ${DOWNLOADS}, ${BUTTONS}`;
const GRID = '[data-testid="stDataFrame"], #portal, .gdg-style';
const TICKS = '[class*="st-key-book_rules"], [data-testid="stElementToolbar"]';
// A hand that holds still may move this far between pressing and letting go [px].
const STILL = 6;
// A grid takes what stands in its field a moment after the last letter. A hand that goes on sooner
// would leave the cell as it was [ms].
const TAKEN = 120;
// Pictures drawn before a cell that was typed over is taken for one that cannot be changed: a
// second on a quiet machine, and as much longer as a busy one takes to draw.
const FRAMES = 60;
// Runs through which all that stood must stand again, and runs after which no more is put back: a
// field that the app will not hold so is its to say.
const CALM = 2;
const LOOKS = 8;
// Between two looks whether every field holds what the app wrote into it [ms].
const SHOWS = 100;
const BREAKS = /[\r\n]/g;
const PLAIN = 'input[type="text"]:not([role="combobox"]), textarea';
const WORDS = {
  offline: "No connection to the estimator. What you typed stays here and is sent when it is back.",
  gone: "What you clicked is not there any more, after what you typed.",
  cells: "What was typed into a grid while there was no connection may be missing. Look at it.",
};

function begin() {
  const page = {
    again: -1, asked: 0, cell: -1, changed: false, due: false, held: [], passing: null, send: null,
    tell: null,
  };
  const line = document.createElement("div");
  line.className = "mc-connection";
  line.setAttribute("role", "status");
  document.body.append(line);

  const marked = (name) => Number(document.querySelector(`.mc-${name}`)?.dataset.asked ?? -1);
  // What an earlier run drew and this one does not is taken away when the run has ended.
  const isRunning = () =>
    document.querySelector('[data-testid="stApp"]')?.dataset.testScriptState === "running";
  const answered = (stage) => {
    if (stage === "taken") return Math.max(marked("taken"), marked("done"));
    return isRunning() ? -1 : marked("done");
  };

  // A cell whose letters or keys are held, until the grid has opened its field or taken what stands
  // there. Till then what it holds is not with the app: a number is only set aside, and is sent when
  // the cell has been left.
  let opening = null;
  const ask = () => {
    page.changed = false;
    page.asked += 1;
    page.due = opening !== null;
    if (!page.due) page.send?.("asked", page.asked);
    return page.asked;
  };

  // A cell was left: what it holds is under way until that is answered.
  const askForCell = () => {
    page.cell = ask();
  };

  const isTyped = (field) =>
    field?.matches?.('[role="combobox"]') && field.dataset.mcTyped && field.value;

  // Whether the choice that Enter would take is one that what is typed leads to: a run that ends
  // meanwhile can bring the whole list back, with its first choice marked.
  const leadsTo = (field) => {
    const marked = document.getElementById(field.getAttribute("aria-activedescendant"));
    return marked?.innerText.toLowerCase().includes(field.value.trim().toLowerCase());
  };

  // Fields that were typed in since the app wrote into any.
  const touched = new Set();

  // A list to choose from drops what was typed unless it is entered.
  const enter = (field) => {
    if (!isTyped(field)) return;
    const press = () => field.dispatchEvent(
      new KeyboardEvent("keydown", { key: "Enter", code: "Enter", bubbles: true, cancelable: true }),
    );
    const chosen = field.dataset.mcTyped === "2";
    delete field.dataset.mcTyped;
    if (chosen || leadsTo(field)) {
      press();
      return;
    }
    const text = field.value;
    write(field, `${text} `);
    write(field, text);
    delete field.dataset.mcTyped;
    // On a busy machine the list is not there yet, and will not be once the field is left. Then the
    // app is told what was typed, and takes it where the field takes new entries.
    const key = keyOf(field);
    queueMicrotask(() => {
      if (leadsTo(field)) press();
      else if (key) page.tell?.("typed", { key, text });
    });
  };

  const hand = underHand(enter);

  const commit = () => {
    if (opening) return;
    const field = document.activeElement;
    enter(field);
    if (field?.matches?.("input, textarea")) field.blur();
  };

  const find = ({ control, key, href }) => {
    if (control.isConnected) return control;
    if (href) return document.querySelector(`a[href="${CSS.escape(href)}"]`);
    return key ? document.querySelector(`.${CSS.escape(key)} button`) : null;
  };

  const describe = (control) => ({
    control, href: control.getAttribute("href"), key: keyOf(control),
  });

  const click = (described) => {
    const control = find(described);
    if (!control || control.disabled) return false;
    page.passing = control;
    control.click();
    page.passing = null;
    if (control.matches(BUTTONS)) page.changed = true;
    return true;
  };

  const release = () => {
    const isAnswered = ({ stage, asked }) => answered(stage) >= Math.max(asked, page.again);
    while (page.held.length && isAnswered(page.held[0])) {
      const next = page.held.shift();
      find(next)?.removeAttribute("aria-busy");
      if (!click(next)) say(WORDS.gone);
    }
  };

  const say = (words) => {
    if (line.textContent !== words) line.textContent = words;
  };

  // Tell the app which of its writings into fields the page shows: all that came before the mark,
  // once the fields hold them. It goes to the app with whatever is sent next.
  const told = new Set();
  const shows = ([key, text], isDrawn) => {
    const box = document.querySelector(`.st-key-${CSS.escape(key)}`);
    // What is not on this page, or was typed over since, has nothing to show.
    if (!box) return isDrawn;
    if (touched.has(keyOf(box))) return true;
    const field = box.querySelector("input, textarea, button");
    if (!field || text === null || !field.matches(PLAIN)) return Boolean(field);
    return field.value.replace(BREAKS, "") === text.replace(BREAKS, "");
  };
  const tellLater = ({ written, shows: wanted }) => {
    told.add(written);
    const now = () => {
      const field = document.querySelector(SHOWN);
      const mark = `[data-written="${written}"]`;
      if (!field || !document.querySelector(mark)) return void told.delete(written);
      // A field is drawn before it is loaded, and takes what is written into it only then.
      const isDrawn = Boolean(document.querySelector(`.mc-done${mark}`));
      const all = Object.entries(JSON.parse(wanted)).every((one) => shows(one, isDrawn));
      if (!all) return void setTimeout(now, SHOWS);
      write(field, written);
      leave(field);
    };
    requestAnimationFrame(() => requestAnimationFrame(() => setTimeout(now, SHOWS)));
  };
  const tell = () => {
    for (const { dataset } of document.querySelectorAll(".mc-taken, .mc-done")) {
      if (!dataset.written || told.has(dataset.written)) continue;
      touched.clear();
      tellLater(dataset);
    }
  };

  // A session that begins anew, after a restart, has only what reached the app before, and writes
  // that into the fields. So what stands there when the connection goes is noted, and written
  // again where it stands no longer when the app is back.
  let stood = null;
  let back = 0;
  let calm = 0;
  let looks = 0;
  let lostCells = false;
  // A field can show what the app wrote into it only after the mark of that run is there, so it is
  // looked at again until all has stood through a run of its own.
  const putBack = () => {
    const isChosen = chooseAgain(stood);
    const isNew = writeAgain(stood, enter) || isChosen;
    calm = isNew ? 0 : calm + 1;
    looks += 1;
    if (calm < CALM && looks < LOOKS) back = ask();
    else stood = null;
  };
  const note = (isAway) => {
    if (isAway) {
      stood ??= holding();
      back = calm = looks = 0;
      if (answered("done") < page.cell) lostCells = true;
    } else if (stood) {
      back ||= ask();
      if (answered("done") >= back) putBack();
      if (lostCells && !stood) {
        lostCells = false;
        say(WORDS.cells);
      }
    }
  };

  // Going to another page empties the address, and a run that is broken off may not fill it again:
  // without the draft that it names, a reload would begin anew.
  const address = () => {
    const mark = document.querySelector(".mc-done");
    if (!mark || isRunning()) return;
    const wanted = mark.dataset.address ?? "";
    if (wanted && !location.search.includes(wanted)) {
      history.replaceState(history.state, "", `${location.pathname}?${wanted}${location.hash}`);
    }
  };

  const look = () => {
    tell();
    address();
    if (!isRunning() && hand.answered(document.querySelector(".mc-done"))) page.again = ask();
    const app = document.querySelector('[data-testid="stApp"]');
    const state = app?.dataset.testConnectionState;
    const away = state && state !== "CONNECTED" && document.querySelector(".mc-done");
    if (away) say(WORDS.offline);
    else if (line.textContent === WORDS.offline) say("");
    note(away);
    if (page.held.length) setTimeout(release);
  };
  new MutationObserver(look).observe(document.body, {
    subtree: true, childList: true, attributes: true,
    attributeFilter: [
      "data-asked", "data-hands", "data-written", "data-test-connection-state",
      "data-test-script-state",
    ],
  });

  // The first letter typed over a cell opens a field in it. What follows before that field has the
  // focus would begin the cell anew, letter by letter, so it is held and written into the field.
  const open = () => document.querySelector("#portal input, #portal textarea");
  const press = (target, key) => target.dispatchEvent(
    new KeyboardEvent("keydown", { key, code: key, bubbles: true, cancelable: true }));
  // Nothing is under way in a cell any more: what was asked meanwhile goes to the app.
  const closed = () => {
    opening = null;
    setTimeout(() => opening || askForCell());
  };
  const replay = (field) => {
    const { keys } = opening;
    const end = keys.findIndex((key) => key.length > 1);
    const letters = end < 0 ? keys : keys.slice(0, end);
    if (letters.length) write(field, field.value + letters.join(""));
    if (end >= 0) leaveLater(keys.slice(end), field);
    // Something was clicked before the field was there, which would have closed it.
    else if (page.due) leaveLater(["Enter"], field);
    else opening = null;
  };
  // A cell that cannot be changed opens no field: then its letters are for nothing, and the first
  // key that goes on from it is.
  const waitForField = (mine, frames) => requestAnimationFrame(() => {
    if (opening !== mine || open()) return;
    if (frames > 0) return void waitForField(mine, frames - 1);
    const key = mine.keys.find((one) => one.length > 1);
    if (key) press(mine.cell, key);
    closed();
  });
  // Leave the field of a cell once the grid has taken what stands in it, and go on from there.
  let lettered = 0;
  const leaveLater = (keys, field) => {
    const mine = (opening = { keys: [...keys], cell: field });
    setTimeout(() => {
      if (opening !== mine) return void setTimeout(() => opening || askForCell());
      press(field.isConnected ? field : document.activeElement, mine.keys.shift());
      setTimeout(() => goOn(mine));
    }, TAKEN);
  };
  // What was typed after the key that left a cell is for the next one.
  const goOn = (mine) => {
    if (opening !== mine || !mine.keys.length) return void closed();
    const key = mine.keys.shift();
    mine.cell = document.activeElement;
    press(mine.cell, key);
    if (key.length === 1) waitForField(mine, FRAMES);
    else setTimeout(() => goOn(mine));
  };
  const intoCell = (event) => {
    if (!event.isTrusted || event.ctrlKey || event.metaKey || event.altKey) return false;
    const leaves = ["Enter", "Tab"].includes(event.key) && event.target === open();
    if (leaves && !opening && performance.now() - lettered < TAKEN) {
      leaveLater([event.key], event.target);
      return true;
    }
    if (opening) {
      if (event.key.length !== 1 && !["Enter", "Tab"].includes(event.key)) return false;
      opening.keys.push(event.key);
      return true;
    }
    if (!event.target.closest?.('[data-testid="stDataFrame"]')) return false;
    if (event.key.length === 1) {
      opening = { keys: [], cell: event.target };
      waitForField(opening, FRAMES);
    }
    return false;
  };

  const listen = (kind, heard) => window.addEventListener(kind, heard, true);
  const closest = (event, wanted) => event.target?.closest?.(wanted);
  let grid = false;
  let wasOpen = false;
  let pressed = null;

  listen("input", (event) => {
    if (event.target.matches(OWN)) return;
    page.changed = true;
    if (event.target === open()) lettered = performance.now();
    if (event.isTrusted && event.target.matches(FIELDS)) {
      touched.add(keyOf(event.target));
      stood?.set(nameOf(event.target), event.target.value);
      if (event.target.matches(PLAIN)) hand.take(event.target, event.target.value);
    }
    if (event.target.matches('[role="combobox"]')) event.target.dataset.mcTyped = "1";
  });
  listen("focusin", (event) => {
    if (opening && event.target === open()) setTimeout(() => opening && replay(event.target));
  });
  listen("keydown", (event) => {
    if (intoCell(event)) {
      event.preventDefault();
      event.stopImmediatePropagation();
      page.changed = true;
      return;
    }
    if (event.isTrusted && event.key === "Tab") enter(event.target);
    if (event.isTrusted && event.key === "Enter" && isTyped(event.target)) {
      // An arrow key that went to another choice is meant; what the page marked by itself is not.
      if (event.target.dataset.mcTyped === "1" && !leadsTo(event.target)) {
        event.preventDefault();
        event.stopImmediatePropagation();
        enter(event.target);
      } else delete event.target.dataset.mcTyped;
    }
    if (event.key.startsWith("Arrow") && isTyped(event.target)) event.target.dataset.mcTyped = "2";
    if (event.key === "Escape") delete event.target.dataset?.mcTyped;
    if (!closest(event, LINKS) && !closest(event, DOWNLOADS)) page.changed = true;
    if (grid && ["Enter", "Tab", "Delete", "Backspace"].includes(event.key)) {
      setTimeout(askForCell);
    }
  });
  listen("paste", () => {
    page.changed = true;
    if (grid) setTimeout(askForCell);
  });
  listen("pointerdown", (event) => {
    // A click that is held waits for the cell; any other takes the hand away from it.
    if (opening && !closest(event, CLICKABLE)) closed();
    wasOpen = Boolean(open());
    const field = document.activeElement;
    const chosen = closest(event, '[role="option"], [role="listbox"]');
    if (chosen) delete field?.dataset?.mcTyped;
    else if (field !== event.target && event.isTrusted) enter(field);
    const control = closest(event, CLICKABLE);
    if (!control) page.changed = true;
    pressed = control && event.button === 0
      ? { ...describe(control), x: event.clientX, y: event.clientY, heard: false } : null;
  });
  listen("pointerup", (event) => {
    const was = grid;
    grid = Boolean(closest(event, GRID));
    // A click commits a cell only where one was open, or where a tick is all there is to change; a
    // run for nothing could reach a cell that is opened meanwhile. Nothing is sent after a link:
    // the message would name the page that is being left.
    const commits = (was && wasOpen) || closest(event, TICKS);
    if (commits && !closest(event, LINKS)) setTimeout(askForCell);
    const press = pressed;
    pressed = null;
    if (!press || Math.hypot(event.clientX - press.x, event.clientY - press.y) > STILL) return;
    // The page moved under the hand: the button that was pressed is no longer where it was.
    if (!press.control.isConnected || !press.control.contains(event.target)) {
      setTimeout(() => click(press));
    }
  });
  listen("click", (event) => {
    const made = event.isTrusted && (closest(event, CHOICES) ?? closest(event, TICKED));
    if (made) {
      setTimeout(() => {
        stood?.set(nameOf(made), chosenIn(made));
        if (made.isConnected) hand.take(made, chosenIn(made));
      });
    }
    if (event.isTrusted && closest(event, '[role="option"]') &&
        document.activeElement?.matches('[role="combobox"]')) hand.takeLater(document.activeElement);
    if (line.textContent === WORDS.cells) say("");
    const control = closest(event, CLICKABLE);
    if (!control || control === page.passing) return;
    if (event.ctrlKey || event.metaKey || event.shiftKey) return;
    const stage = control.matches(LINKS) ? "taken" : "done";
    const waiting = page.changed || page.held.length || answered(stage) < page.asked;
    if (!waiting || !page.send) {
      if (control.matches(BUTTONS)) page.changed = true;
      return;
    }
    event.preventDefault();
    event.stopImmediatePropagation();
    commit();
    control.setAttribute("aria-busy", "true");
    page.held.push({ ...describe(control), stage, asked: ask() });
  });

  page.look = look;
  // For whoever must know when the run for the latest input is done.
  page.settle = () => {
    commit();
    return ask();
  };
  page.isDone = (asked) => answered("done") >= Math.max(asked, page.again);
  return page;
}

export default function ({ setStateValue, setTriggerValue }) {
  const page = (window.meshcoreSettling ??= begin());
  page.send = setStateValue;
  page.tell = setTriggerValue;
  page.look();
}
