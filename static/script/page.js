// What every page does: sends the newest token, sends a form once, and says so when nothing arrived.

import { startActs } from "./acts.js";
import { startAwake } from "./awake.js";
import { formOf, leavesPage, ledToSignIn, wasAccepted, wasPressed } from "./answers.js";
import { startClocks } from "./clocks.js";
import { startCopying } from "./copying.js";
import { startDrafts } from "./drafts.js";
import { startEchoes } from "./echoes.js";
import { row, whenReady } from "./store.js";
import { startTaps } from "./taps.js";

const NO_ANSWER = ["No answer came from the server.", "What you typed is all still here. Look at the connection and press again."];
const BROKEN = ["The server could not take it.", "What you typed is all still here. Wait a moment and press again."];
const SIGNED_OUT = ["You are signed out.", "What you typed is all still here. Sign in in another tab, then press again."];
const REFUSED = ["The server refused this.", "What you typed is all still here. Copy what matters and load the page again."];
const TOO_BIG = ["That is more than the server takes at once.", "What you typed is all still here. Choose a smaller photo and press again."];
const RELEASE_MS = 20000;

function cookie(name) {
  const found = document.cookie.split("; ").find((part) => part.startsWith(name + "="));
  return found ? decodeURIComponent(found.slice(name.length + 1)) : "";
}

// A page from the browser's memory holds the token from before sign-in; the cookie holds today's.
function freshenToken(form) {
  const field = form.querySelector('input[name="csrfmiddlewaretoken"]');
  const token = cookie("csrftoken");
  if (field && token) field.value = token;
}

// A button outside its form belongs to the form that stands there now, also when an answer has put a new one there.
const outside = (form) => (form.id ? [...document.querySelectorAll(`[form="${CSS.escape(form.id)}"]`)] : []);
const buttonsOf = (form) => [...form.elements, ...outside(form)].filter((part) => part.matches('button:not([type="button"]), input[type="submit"]'));

// Work of a second or more says so on its button; the button keeps its width, so that nothing jumps.
function sayWorking(button) {
  if (!button.dataset.working || button.dataset.deed) return;
  button.dataset.deed = button.textContent;
  button.textContent = button.dataset.working;
}

function sayDeed(button) {
  if (!button.dataset.deed) return;
  button.textContent = button.dataset.deed;
  delete button.dataset.deed;
}

function hold(form) {
  form.setAttribute("aria-busy", "true");
  for (const button of buttonsOf(form)) {
    button.setAttribute("aria-disabled", "true");
    sayWorking(button);
  }
}

function release(form) {
  form.removeAttribute("aria-busy");
  for (const button of buttonsOf(form)) {
    button.removeAttribute("aria-disabled");
    sayDeed(button);
  }
}

const isHtmx = (form) => form.hasAttribute("hx-post");
const isPost = (form) => form.getAttribute("method")?.toLowerCase() === "post" || isHtmx(form);

function onSubmit(event) {
  const form = event.target;
  if (form.getAttribute("aria-busy") === "true") {
    event.preventDefault();
    event.stopImmediatePropagation();
  } else if (isPost(form)) {
    freshenToken(form);
    if (!isHtmx(form)) setTimeout(() => holdPlain(form, event), 0);
  }
}

function holdPlain(form, event) {
  if (event.defaultPrevented) return;
  hold(form);
  // an answer that is a file leaves the page as it is
  setTimeout(() => release(form), RELEASE_MS);
}

function slotOf(form) {
  let slot = form.querySelector("[data-fault]");
  if (!slot) {
    slot = document.createElement("div");
    slot.dataset.fault = "";
    form.prepend(slot);
  }
  return slot;
}

function say(event, [what, then], way = null) {
  const form = formOf(event);
  if (!form) return; // a poll that fails is tried again by itself
  const fault = row("row-fault");
  fault.dataset.byScript = "";
  fault.querySelector("[data-what]").textContent = what;
  fault.querySelector("[data-then]").textContent = then;
  if (way) {
    const link = fault.querySelector("[data-way]");
    Object.assign(link, { href: way.url, target: "_blank", textContent: way.word, hidden: false });
  }
  if (!wasPressed(event)) fault.querySelector(".state").lastChild.textContent = "no answer";
  slotOf(form).replaceChildren(fault);
  if (wasPressed(event)) fault.scrollIntoView({ block: "nearest" });
}

function unsay(event) {
  formOf(event)?.querySelectorAll("[data-fault] > [data-by-script]").forEach((fault) => fault.remove());
}

const saySignedOut = (event) => say(event, SIGNED_OUT, { url: document.body.dataset.signIn, word: "Sign in" });

function onErrorAnswer(event) {
  const status = event.detail.xhr.status;
  if (status === 401) saySignedOut(event);
  else if (status === 413) say(event, TOO_BIG);
  else say(event, status >= 500 ? BROKEN : REFUSED);
}

// The sign-in page must not be put in place of a clock or a form.
function onBeforeSwap(event) {
  if (!ledToSignIn(event)) return;
  event.detail.shouldSwap = false;
  saySignedOut(event);
}

function onBeforeRequest(event) {
  const form = formOf(event);
  if (!form || !wasPressed(event)) return;
  hold(form);
  form.querySelector("[data-fault]")?.replaceChildren();
}

function onAfterRequest(event) {
  const form = formOf(event);
  if (!form) return;
  const accepted = wasAccepted(event);
  if (accepted) unsay(event);
  if (wasPressed(event) && !(accepted && leavesPage(event))) release(form);
}

// A figure that is typed again is no longer the one that was refused.
function onTyping(event) {
  const field = event.target.closest?.(".field.bad");
  if (!field) return;
  field.classList.remove("bad");
  field.querySelector(".err")?.remove();
}

// Files can't be sent back by the server: a form that comes again with a sentence keeps those it had.
let chosen = new Map();

function rememberFiles(event) {
  chosen = new Map();
  const form = formOf(event);
  if (!form || event.detail.xhr.status !== 422) return;
  for (const input of form.querySelectorAll('input[type="file"]')) {
    if (input.files.length) chosen.set(input.id || input.name, input.files);
  }
}

function putFilesBack() {
  for (const input of document.querySelectorAll('input[type="file"]')) {
    const files = chosen.get(input.id || input.name);
    if (files && !input.files.length) input.files = files;
  }
  chosen = new Map();
}

// The first field that is wrong, or what asks once more, gets the focus, so that a phone scrolls to its sentence.
function showFirstWrong() {
  document.querySelector('main [aria-invalid="true"], main .asks')?.focus();
}

// On the phone the words inside a project run beyond the edge; the one where somebody is must be in sight.
function showWhereOneIs() {
  const here = document.querySelector('.inside [aria-current="page"]');
  const row = here?.parentElement;
  if (row) row.scrollLeft += here.getBoundingClientRect().left - row.getBoundingClientRect().left - row.clientWidth / 3;
}

function fillZone() {
  for (const input of document.querySelectorAll("input[data-zone]")) {
    if (!input.value) input.value = Intl.DateTimeFormat().resolvedOptions().timeZone ?? "";
  }
}

function listen() {
  document.addEventListener("input", onTyping);
  document.addEventListener("submit", onSubmit, { capture: true });
  document.addEventListener("htmx:configRequest", (event) => {
    const token = cookie("csrftoken");
    if (token && event.detail.verb !== "get") event.detail.headers["X-CSRFToken"] = token;
  });
  document.addEventListener("htmx:beforeRequest", onBeforeRequest);
  document.addEventListener("htmx:beforeSwap", onBeforeSwap);
  document.addEventListener("htmx:beforeSwap", rememberFiles);
  document.addEventListener("htmx:afterSettle", putFilesBack);
  document.addEventListener("htmx:afterSettle", showWhereOneIs);
  document.addEventListener("htmx:afterSettle", (event) => {
    if (event.detail.xhr?.status === 422) showFirstWrong();
  });
  document.addEventListener("htmx:responseError", onErrorAnswer);
  document.addEventListener("htmx:sendError", (event) => say(event, NO_ANSWER));
  document.addEventListener("htmx:timeout", (event) => say(event, NO_ANSWER));
  document.addEventListener("htmx:afterRequest", onAfterRequest);
  window.addEventListener("pageshow", (event) => {
    if (event.persisted) document.querySelectorAll("form").forEach(release);
  });
}

listen();
whenReady(() => {
  fillZone();
  showWhereOneIs();
  showFirstWrong();
  startActs();
  startEchoes();
  startDrafts();
  startClocks();
  startCopying();
  startTaps();
  startAwake();
});
