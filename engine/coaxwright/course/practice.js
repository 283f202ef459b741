"use strict";
// Practice: one question at a time, told at once what an answer comes from; boxes of 1, 3, 7, 21 and 60 days; state in this browser only.
(() => {
  const DAYS = [0, 1, 3, 7, 21, 60], DAY = 86400000;
  const root = document.querySelector("main"), name = "practice:" + root.dataset.name;
  const all = [...document.querySelectorAll("section.question")];
  const said = (each) => each.querySelector(".said");
  let state = {};
  try { state = JSON.parse(localStorage.getItem(name)) || {}; } catch { state = {}; }
  const keep = () => { try { localStorage.setItem(name, JSON.stringify(state)); } catch { /* private windows keep nothing */ } };
  const held = (pattern) => state[pattern] || { box: 0, due: 0, seen: 0, right: 0, last: -1 };
  const patterns = [...new Set(all.map((each) => each.dataset.pattern))];
  const topic = document.querySelector("#topic");
  let now = null;

  function fits(pattern) {
    return !topic.value || pattern.startsWith(topic.value + "/");
  }
  function next() {
    const open = patterns.filter(fits), time = Date.now();
    const due = open.filter((each) => held(each).due <= time && held(each).seen), fresh = open.filter((each) => !held(each).seen);
    const by = (list) => list.sort((a, b) => held(a).due - held(b).due)[0];
    show(by(due) || fresh[0] || by(open.slice()));
  }
  function show(pattern) {
    if (!pattern) return;
    const kin = all.filter((each) => each.dataset.pattern === pattern), mine = held(pattern);
    const place = (mine.last + 1) % kin.length;
    state[pattern] = { ...mine, last: place };
    all.forEach((each) => { each.hidden = true; });
    now = kin[place];
    said(now).textContent = "";
    now.querySelectorAll("button, input").forEach((each) => { each.disabled = false; });
    now.querySelectorAll(".after").forEach((each) => { each.hidden = true; });
    now.hidden = false;
    now.querySelector("h2").focus();
  }
  function tell(right, words) {
    const pattern = now.dataset.pattern, mine = held(pattern), box = right ? Math.min(mine.box + 1, 5) : 0;
    state[pattern] = { ...mine, box, due: Date.now() + DAYS[box] * DAY, seen: mine.seen + 1, right: mine.right + (right ? 1 : 0) };
    keep();
    said(now).textContent = (right ? "Right. " : "Not this. ") + words + (right ? " Comes again in " + DAYS[box] + (box === 1 ? " day." : " days.") : "");
    now.querySelectorAll("button.option, input, button.enter").forEach((each) => { each.disabled = true; });
    now.querySelectorAll(".after").forEach((each) => { each.hidden = false; });
    said(now).focus();
    progress();
  }
  function entered(section) {
    const value = Number(section.querySelector("input").value.trim().replace(",", "."));
    const key = JSON.parse(section.dataset.entered), near = (wanted) => Math.abs(value - wanted) <= key.tolerance * Math.max(Math.abs(value), Math.abs(wanted));
    if (section.querySelector("input").value.trim() === "" || Number.isNaN(value)) { said(section).textContent = "Write a figure in " + key.unit + "."; return; }
    if (near(key.value)) return tell(true, "");
    const slip = key.typical.find((each) => near(each.value));
    tell(false, slip ? slip.says : section.dataset.answer + " would be right.");
  }
  function progress() {
    document.querySelectorAll("#progress li").forEach((line) => {
      const mine = patterns.filter((each) => each.startsWith(line.dataset.topic + "/")), sure = mine.filter((each) => held(each).box >= 2).length;
      line.querySelector("meter").value = sure / mine.length;
      line.querySelector("span").textContent = sure + " of " + mine.length;
    });
  }
  root.addEventListener("click", (event) => {
    const button = event.target.closest("button");
    if (!button) return;
    if (button.classList.contains("option")) tell(button.dataset.right === "yes", button.dataset.says);
    else if (button.classList.contains("enter")) entered(now);
    else if (button.classList.contains("again")) show(now.dataset.pattern);
    else if (button.classList.contains("next")) next();
    else if (button.id === "forget" && confirm("Forget all progress in this browser?")) { state = {}; keep(); progress(); next(); }
  });
  topic.addEventListener("change", next);
  document.querySelectorAll(".script").forEach((each) => { each.hidden = false; });
  document.querySelectorAll(".plain").forEach((each) => { each.hidden = true; });
  progress();
  next();
})();
