// The screen stays on while a cup is on it: nobody wakes a phone with resin on the gloves. Where the browser
// can't, or the page came without https, the phone sleeps as it is used to.

const CUP = 'main [data-awake], main [data-clock][data-kind="pot_life"][data-settled=""]';

let lock = null;
let asked = false;

async function hold() {
  if (lock || asked || document.visibilityState !== "visible") return;
  asked = true;
  try {
    lock = await navigator.wakeLock.request("screen");
    lock.addEventListener("release", () => { lock = null; });
  } catch { /* the battery is low, or it was not allowed */ }
  asked = false;
}

/** Holds the screen while there is a cup on it, lets it go when there is none. */
export function keepAwake() {
  if (!navigator.wakeLock) return;
  if (document.querySelector(CUP)) hold();
  else lock?.release();
}

export function startAwake() {
  keepAwake();
  document.addEventListener("htmx:afterSettle", keepAwake);
  // a browser takes it back from a page that nobody sees
  document.addEventListener("visibilitychange", keepAwake);
}
