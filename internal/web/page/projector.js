// The page for a room: full screen, few things, large letters.

export function wireProjector(button) {
  const show = (on) => {
    document.documentElement.classList.toggle("projector", on);
    button.setAttribute("aria-pressed", String(on));
    button.textContent = on ? "Leave the projector" : "Projector";
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
