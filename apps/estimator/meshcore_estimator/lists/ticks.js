// While something is made in the background, the page looks again each second. It does so only when
// it is at rest: a run for this must not break off a run for what a person did, or is about to do.

const PAUSE = 1000;

export default function ({ setStateValue }) {
  const isAtRest = () =>
    document.querySelector('[data-testid="stApp"]')?.dataset.testScriptState !== "running" &&
    !document.querySelector('[aria-busy="true"]') &&
    !document.activeElement?.matches("input, textarea");
  const timer = setInterval(() => isAtRest() && setStateValue("at", Date.now()), PAUSE);
  return () => clearInterval(timer);
}
