// Comfort for the forms of a rig; every page works without it.

// After a row was added or removed, go on where the eye is: the newest row, or the last one.
document.addEventListener("htmx:afterSwap", (event) => {
  const form = document.getElementById("line-form");
  if (!form || !event.detail.requestConfig) return;
  const rows = form.querySelectorAll(".link-row");
  const select = rows[rows.length - 1]?.querySelector("select");
  select?.focus();
});

// Offer only the units of the chosen type: their options end in "(type)".
for (const form of document.querySelectorAll("form")) {
  const unit = form.querySelector("select[name=unit]");
  const type = form.querySelector("select[name=loudspeaker], select[name=amplifier], select[name=processor]");
  if (!unit || !type) continue;
  const offer = () => {
    const chosen = type.value && type.selectedOptions[0].textContent.trim();
    for (const option of unit.options) {
      const fits = !option.value || !chosen || option.textContent.trim().endsWith(`(${chosen})`);
      option.hidden = !fits && !option.selected;
    }
  };
  type.addEventListener("change", offer);
  offer();
}
