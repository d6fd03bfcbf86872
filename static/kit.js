// The kit list from the keyboard: type, Enter, next. Without this file the page works all the same.

const onPage = (selector) => document.querySelector(selector);

document.documentElement.classList.add("js");

/** Fields that the arrows walk through: the search, then each result's quantity. */
function stops() {
  return [onPage("#q"), ...document.querySelectorAll("#results input")].filter(Boolean);
}

function addButtonFor(field) {
  const result = field.id === "q" ? onPage("#results .result") : field.closest(".result");
  return result?.querySelector("button[name=add]");
}

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
  } else if (event.key === "Enter" && !searching) {
    const button = addButtonFor(field);
    if (button && field.value.trim()) {
      event.preventDefault();
      button.click();
    }
  } else if (event.key === "Enter") {
    event.preventDefault();
    enterWhenFound = true;
  }
});

// Enter pressed before the answer came belongs to what will be found, not to what was there.
let searching = false;
let enterWhenFound = false;

document.addEventListener("input", (event) => {
  if (event.target.id === "q") searching = event.target.value.trim() !== "";
});

document.addEventListener("htmx:afterSettle", (event) => {
  if (event.target.id === "results") {
    searching = false;
    if (enterWhenFound) addButtonFor(onPage("#q"))?.click();
    enterWhenFound = false;
  }
});

for (const name of ["htmx:sendError", "htmx:responseError"]) {
  document.addEventListener(name, () => {
    searching = false;
    enterWhenFound = false;
    onPage("#said").textContent = "The server did not answer. Nothing was changed; try again.";
  });
}

// After something was added, the next search starts where the hands are.
let pressed = "";
document.addEventListener("htmx:beforeRequest", (event) => {
  pressed = event.detail.requestConfig?.triggeringEvent?.submitter?.name ?? "";
});
document.addEventListener("htmx:afterSwap", (event) => {
  if (event.detail.target.id !== "kit") return;
  const wrong = onPage("#kit [aria-invalid=true]");
  if (wrong) {
    wrong.focus();
    wrong.select?.();
  }
  else if (pressed === "add") {
    onPage("#q").focus();
    onPage("#q").select();
  }
});
