// The guided tour. Each step sets the car's state, then says what to look at.

const beyond = 1.3;

export function steps(car) {
  const knee = () => car.curve()?.knee.pedal_n ?? 220;
  const cutIn = () => car.curve()?.cut_in.pedal_n ?? 25;
  const stop = () => Math.max(60, Math.min(150, 0.55 * knee()));
  return [
    {
      title: "At rest",
      text: "The engine idles and draws air out through the hose. The check valve lets air go that way only. Inside, the vacuum seat is open and joins both chambers: the same vacuum on both sides pushes nowhere.",
      look: "both chambers in the same blue, and the lens: the air seat is shut.",
      set: () => [],
    },
    {
      title: "First bite",
      text: "A light foot moves the plunger a fraction of a millimetre. That shuts the vacuum seat and cracks the air seat: outside air rushes in behind the diaphragm, and the brakes take hold at once.",
      look: "the air streaming in through the tail, and the line pressure jumping up.",
      // Within the power line, whatever the car: past the knee nothing bites any more.
      set: () => [{ to: Math.min(1.5 * cutIn(), 0.6 * knee()), takes: 1.2 }],
    },
    {
      title: "Holding",
      text: "The diaphragm follows the plunger until both seats are shut. Nothing flows, and the car brakes steadily. The reaction disc sends a share of the output back to your foot: that is how you feel it.",
      look: "the lens: both seats shut. The rear chamber is paler than the front one, and stays so.",
      set: () => [{ to: 0.5 * (cutIn() + knee()), takes: 0.6 }],
    },
    {
      title: "Full press, and the knee",
      text: "Press harder, and the rear chamber fills until it is at outside air. More it cannot give: that is the knee. Past it the line rises only as your own foot pushes.",
      look: "the force curve: the orange trail bends at the magenta knee.",
      set: () => [{ to: beyond * knee(), takes: 4 }],
    },
    {
      title: "Release",
      text: "Let go: the air seat shuts, the vacuum seat opens, and the rear chamber's air crosses to the front. The vacuum drops. With the engine running it is drawn out again in a few seconds.",
      look: "the blue curve: the dip, and how it comes back.",
      set: () => [{ to: 0.8 * knee(), takes: 0.4 }, { to: 0.8 * knee(), takes: 1.2 }, { to: 0, takes: 0.3 }],
    },
    {
      title: "Engine off",
      text: "The engine has stopped. The check valve keeps what vacuum there is, and every stop uses some of it up. Four stops are made for you here: each begins with less.",
      look: "the steps of the blue curve, and the stops left going down.",
      engine: "off",
      set: () => [{ to: 0, takes: 1.2 }, ...Array.from({ length: 4 }, () => [
        { to: stop(), takes: 0.3 }, { to: stop(), takes: 1.2 }, { to: 0, takes: 0.3 }, { to: 0, takes: 1.6 }]).flat()],
    },
    {
      title: "Without a booster",
      text: "The same foot on the scenario's manual pedal: a longer lever and a smaller bore, and nothing else to help. Turn the switch off to see the booster come back.",
      look: "the two pressures beside each other, and the grey line in the force curve.",
      manual: true,
      set: () => [{ to: 0.6 * knee(), takes: 0.8 }],
    },
  ];
}

export class Tour {
  constructor(elements, car) {
    this.e = elements;
    this.car = car;
    this.steps = steps(car);
    this.i = -1;
    elements.start.addEventListener("click", () => this.go(0));
    elements.next.addEventListener("click", () => (this.i + 1 < this.steps.length ? this.go(this.i + 1) : this.end()));
    elements.back.addEventListener("click", () => this.go(this.i - 1));
    elements.again.addEventListener("click", () => this.go(this.i));
    elements.end.addEventListener("click", () => this.end());
  }

  async go(i) {
    if (i < 0 || i >= this.steps.length) return;
    this.i = i;
    const s = this.steps[i], e = this.e;
    e.panel.hidden = false;
    e.title.textContent = `${i + 1} of ${this.steps.length}: ${s.title}`;
    e.text.textContent = s.text;
    e.look.textContent = s.look;
    e.back.disabled = i === 0;
    e.next.textContent = i + 1 < this.steps.length ? "Next" : "Finish";
    e.title.focus({ preventScroll: true });
    e.panel.scrollIntoView({ block: "nearest" });
    await this.car.stage(s.engine ?? "idle", s.manual ?? false, s.set());
  }

  end() {
    this.i = -1;
    this.e.panel.hidden = true;
    this.car.stage("idle", false, []);
    this.e.start.focus();
  }
}
