// How a request of a form went: the few questions that several scripts ask of htmx's events.

// An answer may have put another form in the place of the one that sent it: htmx then speaks of the page,
// and only the request still knows the sender.
const sender = (event) => event.detail.requestConfig?.elt ?? event.detail.elt;

export const formOf = (event) => sender(event)?.closest?.("form") ?? null;

/** Whether somebody pressed the act, and not a live figure that followed a keystroke. */
export const wasPressed = (event) => event.detail.requestConfig?.triggeringEvent?.type === "submit";

/** Whether the answer is the sign-in page instead of what was asked for. */
export function ledToSignIn(event) {
  const answered = event.detail.xhr?.responseURL;
  const signIn = document.body.dataset.signIn;
  if (!answered || !signIn || location.pathname === signIn) return false;
  return new URL(answered).pathname === signIn;
}

/** Whether the server took what a form sent: not 422, not an error, not the sign-in page. */
export function wasAccepted(event) {
  const status = event.detail.xhr?.status ?? 0;
  return status >= 200 && status < 400 && !ledToSignIn(event);
}

/** Whether the answer leaves this page, so that nothing here may be pressed again. */
export function leavesPage(event) {
  const names = ["HX-Redirect", "HX-Location", "HX-Refresh"];
  return names.some((name) => event.detail.xhr?.getResponseHeader(name));
}
