// The kit list from the keyboard: type, Enter, next. Without this file the page works all the same.

const onPage = (selector) => document.querySelector(selector);

document.documentElement.classList.add("js");

/** Fields that the arrows walk through: the search, then each result's quantity. */
function stops() {
  return [onPage("#q"), ...document.querySelectorAll("#results input:not([type=hidden])")].filter(Boolean);
}

function addButtonFor(field) {
  const result = field.id === "q" ? onPage("#results .result") : field.closest(".result");
  return result?.querySelector("button[name=add]");
}

// Enter pressed before the answer came belongs to the answer to those very words: not to what was
// there, and not to an answer to the first few letters of them.
let answered = onPage("#q")?.value.trim() ?? "";
let asked = answered;
let enteredFor = "";

document.addEventListener("keydown", (event) => {
  const field = event.target;
  const places = stops();
  const at = places.indexOf(field);
  if (at < 0) return;
  if (event.key === "ArrowDown" || event.key === "ArrowUp") {
    const next = places[at + (event.key === "ArrowDown" ? 1 : -1)];
    if (next) {
      event.preventDefault();
      next.focus();
      next.select();
    }
  } else if (event.key === "Enter" && field.value.trim()) {
    const stillAsking = field.id === "q" && field.value.trim() !== answered;
    const button = addButtonFor(field);
    if (stillAsking) enteredFor = field.value.trim();
    else button?.click();
    if (stillAsking || button) event.preventDefault();
  }
});

document.addEventListener("htmx:beforeRequest", (event) => {
  if (event.target.id === "q") asked = event.target.value.trim();
});

document.addEventListener("htmx:afterSettle", (event) => {
  if (event.target.id !== "results") return;
  answered = asked;
  if (!enteredFor || enteredFor !== answered) return;
  enteredFor = "";
  addButtonFor(onPage("#q"))?.click();
});

/** What went wrong between here and the server, and what to do. */
function complain(sentence) {
  enteredFor = "";
  const said = onPage("#said");
  said.textContent = sentence;
  said.dataset.kind = "fault";
}

function reasonFor(status) {
  if (status === 403) return "This was refused, and nothing was changed: you may not do it, or this page is too old. Load the page again.";
  if (status === 404) return "This is no longer there, and nothing was changed. Load the page again.";
  if (status >= 500) return "The server had a fault. Look at the list before you try again: load the page.";
  return `The server refused this (${status}). Nothing was changed.`;
}

document.addEventListener("htmx:sendError", () => {
  complain("The server did not answer. Look at your connection, then try again; all you typed is still here.");
});
document.addEventListener("htmx:responseError", (event) => complain(reasonFor(event.detail.xhr.status)));
document.addEventListener("htmx:beforeSwap", (event) => {
  if (event.detail.shouldSwap) delete onPage("#said").dataset.kind;
});

// After something was added, the next search starts where the hands are.
let pressed = "";
document.addEventListener("htmx:beforeRequest", (event) => {
  if (event.target.id !== "kit") return;  // a search under way meanwhile presses nothing
  pressed = event.detail.requestConfig?.triggeringEvent?.submitter?.name ?? "";
});
document.addEventListener("htmx:afterSwap", (event) => {
  if (event.detail.target.id !== "kit") return;
  answered = onPage("#q").value.trim();
  const wrong = onPage("#kit [aria-invalid=true]");
  if (wrong) {
    wrong.focus();
    wrong.select?.();
  } else if (pressed === "add") {
    onPage("#q").focus();
    onPage("#q").select();
  }
});
