"use strict";
// A slider along a computed curve: nothing is worked out here, each stop is a point that the engine computed.
document.querySelectorAll("[data-curve]").forEach((box) => {
  const data = JSON.parse(box.dataset.curve), slider = box.querySelector("input"), said = box.querySelector("output");
  const meter = box.querySelector("meter"), mark = box.parentElement.querySelector(".here");
  const side = (value) => value > data.limit ? ", above the limit of " : value < data.limit ? ", below the limit of " : ", at the limit of ";
  function show() {
    const [x, y, across, up] = data.points[Number(slider.value)];
    const words = (x + " " + data.unit).trim() + ": " + y.toFixed(2) + " " + data.shown;
    said.textContent = data.limit === null ? words : words + side(y) + Number(data.limit.toFixed(2)) + " " + data.shown;
    slider.setAttribute("aria-valuetext", said.textContent);
    meter.value = y;
    mark.setAttribute("cx", across);
    mark.setAttribute("cy", up);
  }
  box.hidden = false;
  mark.removeAttribute("display");
  slider.addEventListener("input", show);
  show();
});
