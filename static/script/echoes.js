// What a bare number was understood as, said as one types: the unit is the shop's own, and nobody has to guess.
// A fragment of the server may say more in the same place, and then has the last word.

const BARE = /^\s*[-−]?(\d+([.,]\d+)?|[.,]\d+|\d+\s*\/\s*\d+|\d+\s+\d+\s*\/\s*\d+)\s*$/;

function echo(event) {
  const field = event.target.closest?.("input[data-bare]");
  const output = field && document.getElementById(`${field.id}_echo`);
  if (!output) return;
  const { bare } = field.dataset;
  const close = bare === "°" ? "" : "\u00a0";
  output.textContent = BARE.test(field.value) ? `understood ${field.value.trim()}${close}${bare}` : "";
}

export function startEchoes() {
  document.addEventListener("input", echo);
}
