"use strict";
// A case: measuring costs minutes, excludes suspects, and names by number what excluded them; the best course is told at the end.
(() => {
  const root = document.querySelector("main"), data = JSON.parse(root.dataset.case), fallen = new Map();
  let spent = 0, steps = 0, over = false;
  const spend = (minutes) => { spent += minutes; document.querySelector("#spent").textContent = String(spent); };
  const buttons = (name) => [...document.querySelectorAll("button." + name)];

  function measure(button) {
    const spot = data.spots[Number(button.dataset.spot)];
    steps += 1;
    spend(spot.minutes);
    button.disabled = true;
    button.parentElement.querySelector(".said").textContent = steps + ". It shows: " + spot.says + ". " + spot.how;
    for (const place of spot.falls) if (!fallen.has(place)) fallen.set(place, steps);
    buttons("suspect").forEach((each) => {
      const by = fallen.get(Number(each.dataset.suspect));
      if (by) { each.disabled = true; each.parentElement.querySelector("span").textContent = "excluded by " + by; }
    });
  }
  function hint() {
    const left = data.spots.map((spot, place) => ({ place, worth: spot.falls.filter((each) => !fallen.has(each)).length / spot.minutes }))
      .filter((each) => !buttons("measure")[each.place].disabled && each.worth > 0).sort((a, b) => b.worth - a.worth);
    spend(data.costs.hint);
    document.querySelector("#hinted").textContent = left.length ? " Look at: " + buttons("measure")[left[0].place].textContent : " Nothing more tells them apart: name one.";
  }
  function name(place) {
    if (over) return;
    const verdict = document.querySelector("#verdict"), right = data.true.includes(place), alike = data.alike.includes(place);
    if (!right && !alike) { spend(data.costs.wrong); verdict.textContent = "Repaired, and the fault stays: " + data.costs.wrong + " minutes gone. It is something else."; buttons("suspect")[place].disabled = true; return; }
    over = true;
    buttons("measure").concat(buttons("suspect")).forEach((each) => { each.disabled = true; });
    const known = right ? "That is it. " : "No measurement here tells this from the true cause; one looks at both. ";
    const share = spent ? Math.min(100, Math.round(100 * data.best.minutes / spent)) : 0;
    verdict.textContent = known + data.repairs[place] + " You spent " + spent + " minutes; the best course takes " + data.best.minutes + (data.best.says.length ? " (" + data.best.says.join("; ") + ")" : "")
      + ". Score: " + (steps || !data.best.says.length ? share : 0) + " of 100." + (steps ? "" : " Naming without measuring is a guess.");
    verdict.focus();
  }
  root.addEventListener("click", (event) => {
    const button = event.target.closest("button");
    if (!button || button.disabled) return;
    if (button.classList.contains("measure")) measure(button);
    else if (button.classList.contains("suspect")) name(Number(button.dataset.suspect));
    else if (button.id === "hint") hint();
  });
  document.querySelectorAll(".script").forEach((each) => { each.hidden = false; });
  document.querySelectorAll(".plain").forEach((each) => { each.hidden = true; });
})();
