// What a hand has put into fields and choices, until the app has answered it. The app may have
// written there before it heard of that: such a writing comes when the hand has gone on, and would
// take its place on the page, and with the next message in the app as well.
function underHand(enter) {
  const put = new Map();
  let number = 0;

  // Goes to the app with whatever is sent next, for it to tell what is typed from what it wrote.
  const tell = () => {
    const own = document.querySelector(HANDS);
    if (!own) return;
    write(own, [number, ...new Set([...put.values()].map(({ key }) => key))].join(" "));
    leave(own);
  };
  const take = (control, wanted) => {
    number += 1;
    put.set(nameOf(control), { key: keyOf(control), wanted, number });
    tell();
  };
  // A list to choose from shows what was chosen a moment later.
  const takeLater = (field) => setTimeout(() => {
    if (field.isConnected && keyOf(field)) take(field, field.value);
  });

  // To be called when a run has ended. What it wrote without having heard of the hand is undone;
  // so is what a run before it wrote that was broken off, which this one does not write. True where
  // something was undone.
  const answered = (done) => {
    if (!put.size || !done) return false;
    const heard = Number(done.dataset.hands ?? 0);
    const shows = JSON.parse(done.dataset.shows ?? "{}");
    const again = new Map();
    const before = put.size;
    for (const [name, one] of [...put]) {
      const isWritten = one.key.slice("st-key-".length) in shows;
      if (heard < one.number || !isWritten) again.set(name, one.wanted);
      if (heard >= one.number) put.delete(name);
    }
    if (put.size < before) tell();
    const isChosen = chooseAgain(again);
    return writeAgain(again, enter) || isChosen;
  };
  return { answered, take, takeLater };
}
