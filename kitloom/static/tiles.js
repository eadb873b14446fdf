// A tile's picture dragged onto another one's: each takes the other's stickers, by the form below them.
import { $, $$, send } from "./exchange.js";

let lifted = null;
const cardOf = (event) => event.target.closest && event.target.closest(".card[data-tile]");
const mark = (over) => { for (const card of $$(".card[data-tile]")) card.classList.toggle("over", card === over); };

document.addEventListener("dragstart", (event) => {
  lifted = cardOf(event);
  if (lifted) event.dataTransfer.effectAllowed = "move";
});
document.addEventListener("dragover", (event) => {
  const card = lifted && cardOf(event);
  mark(card !== lifted ? card : null);
  if (card && card !== lifted) event.preventDefault();
});
document.addEventListener("drop", (event) => {
  const card = lifted && cardOf(event);
  if (!card || card === lifted) return;
  event.preventDefault();
  $("#exchange-one").value = lifted.dataset.tile; $("#exchange-other").value = card.dataset.tile;
  send($("#exchange-one").form);
});
document.addEventListener("dragend", () => { lifted = null; mark(null); });
