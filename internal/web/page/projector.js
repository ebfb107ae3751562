// The page for a room: full screen, few things, large letters.

export function wireProjector(button) {
  const show = (on) => {
    document.documentElement.classList.toggle("projector", on);
    button.setAttribute("aria-pressed", String(on));
    // For a room the word is short: beside it stands a lesson's title.
    button.textContent = on ? "Leave" : "Projector";
    if (on) button.setAttribute("aria-label", "Leave the projector");
    else button.removeAttribute("aria-label");
  };
  button.addEventListener("click", async () => {
    const on = !document.documentElement.classList.contains("projector");
    show(on);
    // Where the browser gives no full screen the letters are large all the same. It gives
    // none unless someone has just pressed something.
    if (on && !navigator.userActivation?.isActive) return;
    try { await (on ? document.documentElement.requestFullscreen() : document.fullscreenElement && document.exitFullscreen()); } catch { /* refused */ }
  });
  document.addEventListener("fullscreenchange", () => { if (!document.fullscreenElement) show(false); });
}
