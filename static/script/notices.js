// A notice of the system beside the row and the sound, where the browser has them: it is seen while the page
// lies behind others. Phones show them through a small worker; without https there is neither.

import { kept } from "./store.js";

const NOTED = "grainglass.noted.";
const FORGET_MS = 30 * 24 * 3600 * 1000;

let bell = null;

const may = () => window.Notification?.permission === "granted";

// only after a press, and only once: a browser that was told no asks no more
export async function allowNotices() {
  if (window.Notification?.permission === "default") await Notification.requestPermission();
  if (may()) findBell();
}

function findBell() {
  const script = document.body.dataset.bell;
  if (bell || !script || !navigator.serviceWorker) return;
  navigator.serviceWorker.register(script).then((found) => { bell = found; }, () => {});
}

/** Tells the system about what rings, once in this browser. */
export function notice(id, what, href) {
  if (!may() || kept.get(NOTED + id)) return;
  kept.set(NOTED + id, String(Date.now()));
  const options = { tag: id, requireInteraction: true, icon: document.querySelector('link[rel="icon"]')?.href, data: { href } };
  if (bell?.active) bell.showNotification(what, options).catch(() => plain(what, options));
  else plain(what, options);
}

// a phone's browser has the class and refuses to make one
function plain(what, options) {
  try {
    const shown = new Notification(what, options);
    shown.onclick = () => { window.focus(); if (options.data.href) location.assign(options.data.href); };
  } catch { /* the row stands on the page */ }
}

export function startNotices() {
  for (const key of kept.keys(NOTED)) if (Date.now() - Number(kept.get(key)) > FORGET_MS) kept.remove(key);
  if (may()) findBell();
}
