// The lessons: what is said, what is to be done, and how the model answers it. {force:60}
// in a text is a quantity in SI, printed in the units that are chosen. A task's truth is
// asked of the model; nothing here knows an answer.

const g = 9.80665;
const both = (a, b) => a < 0.005 && b < 0.005;

export const lessons = [
  {
    title: "What a booster is", car: { starter: "stock-ten-inch" },
    about: "Why the foot alone is not enough, and how much help there is.",
    notes: [
      "Aim: the booster multiplies the foot's push; it does not brake by itself, and it needs the pedal to be pressed.",
      "Often heard: \"The engine pushes the brakes.\" The engine only draws air out. The push comes from the air outside, as in a suction cup.",
      "Let pupils press by steps (arrow keys on the pedal) and note both forces before they divide.",
    ],
    steps: [
      { title: "A can that pushes", text: "To stop a car the brakes must be squeezed hard, harder than most legs can push again and again. Between the pedal and the brakes sits a round can: the booster. Whatever the foot gives, it adds to it.", look: "the round can in the middle, the pedal on the right, the wheels on the left." },
      { title: "Brake to half a g", text: "Slowing is counted in g: at 1 g a belt pulls as hard as you are heavy. Half a g is a firm stop.", task: { kind: "do", ask: "Press until the car slows by 0.45 to 0.55 g, and stay there for a second.", still: 1, until: (f) => f.deceleration_mps2 > 0.45 * g && f.deceleration_mps2 < 0.55 * g } },
      { title: "What the foot gives", text: "Stay at half a g. The number on the pedal is what your foot pushes with.", task: { kind: "number", quantity: "force", read: "pedal_n", ask: "Which force of the foot gives 0.5 g with the booster?", within: 0.1, truth: (m) => m.forceFor(0.5 * g) } },
      { title: "The booster taken out", manual: true, text: "Now the booster is out. In its place is a pedal made for it: a longer lever and a smaller cylinder, to make pushing easier. Brake to half a g again.", task: { kind: "number", quantity: "force", read: "pedal_n", ask: "Which force gives 0.5 g without the booster?", within: 0.1, truth: (m) => m.forceFor(0.5 * g, true) } },
      { title: "How many times", text: "Divide the second force by the first.", task: { kind: "number", quantity: "times", ask: "How many times harder does the foot push without the booster?", within: 0.15, truth: async (m) => await m.forceFor(0.5 * g, true) / await m.forceFor(0.5 * g) } },
    ],
  },
  {
    title: "Two chambers and a valve", car: { starter: "stock-ten-inch" },
    about: "Where the push comes from, seen in slow motion.",
    notes: [
      "Aim: a difference in pressure, times an area, is a force. The valve makes the difference as large as the foot asks for.",
      "Often heard: \"The vacuum pulls.\" Nothing pulls: the air on the other side pushes.",
      "1/50 of real time needs patience: one press takes half a minute. Set it before the foot goes down, and stop with Pause.",
    ],
    steps: [
      { title: "At rest", text: "A rubber diaphragm parts the can into two chambers. The engine has drawn air out of both, so the same vacuum is on both sides and nothing pushes. The lens shows the valve with its two seats.", look: "the two lines of words beside the lens.", task: { kind: "choice", ask: "Which seat is open while nobody presses?", options: [["vacuum", "the vacuum seat, which joins the chambers"], ["air", "the air seat, which lets outside air in"], ["none", "neither"]], truth: async (m) => { const f = await m.press(0); return both(f.air_open, f.vacuum_open) ? "none" : f.vacuum_open > f.air_open ? "vacuum" : "air"; } } },
      { title: "The first moment", text: "Set Time to 1/50 and press. The rod moves less than a millimetre: first the vacuum seat shuts and parts the chambers, then the air seat opens.", look: "the yellow dots: outside air, coming in behind the diaphragm.", task: { kind: "do", ask: "Press Pause while the air seat is open and the vacuum seat is shut.", until: (f, page) => page.pace === 0 && f.air_open > 0.08 && f.vacuum_open < 0.005 } },
      { title: "Holding", text: "Back to real time. The diaphragm follows the rod, and when it has caught up it shuts the air seat itself. Both seats are shut: no air moves, and the brakes hold.", task: { kind: "do", ask: "Hold a steady {force:60} or more until both seats have been shut for a second.", still: 1, until: (f) => f.pedal_n > 55 && f.phase === "holding" && both(f.air_open, f.vacuum_open) } },
      { title: "The rear chamber", text: "Hold {force:60} exactly (set \"Press no harder than\", then Keep the foot down). The vacuum behind the diaphragm has fallen, the one in front has not.", task: { kind: "number", quantity: "vacuum", read: "working_vacuum_pa", ask: "What vacuum is left in the rear chamber at {force:60}?", within: 0.08, least: 1700, truth: async (m) => (await m.press(60)).working_vacuum_pa } },
      { title: "The push of the air", text: "Push is difference in pressure times area. The diaphragm has {area}. Take the vacuum in front less the vacuum behind. A vacuum of 1 inHg is 0.49 psi; 1 kPa on 1 cm² is 0.1 N.", task: { kind: "number", quantity: "force", ask: "With how much does the air push the diaphragm while the foot holds {force:60}?", within: 0.12, truth: async (m) => { const f = await m.press(60), { shape } = await m.car(); return (f.front_vacuum_pa - f.working_vacuum_pa) * shape.area_m2; } } },
    ],
  },
  {
    title: "The knee", car: { starter: "stock-ten-inch" }, unveil: true,
    about: "Where help ends, and why it depends on the vacuum.",
    notes: [
      "Aim: help is limited. Once outside air fills the rear chamber there is no more difference to be had.",
      "The curve's knee stays hidden until the foot has gone past it. It is found by pressing slowly: arrow down on the pedal, or with a finger at a low limit.",
      "Half the vacuum gives less than half the help: the return spring takes its share first.",
      "In the last task the magenta dot walks down its dotted line as vacuum is used up. That is the whole story of a booster in one picture.",
    ],
    steps: [
      { title: "Past the end of help", text: "Press slowly, further and further. At some force the rear chamber is full of outside air. From there on only your own foot adds pressure.", look: "the curve of line pressure: it bends.", task: { kind: "do", ask: "Press until the page says that you are past the knee.", until: (f) => f.phase === "run-out" } },
      { title: "Find the knee", text: "Let go and press again by small steps. The knee is the force at which the bend begins: the rear chamber's vacuum just reaches 0.", task: { kind: "number", quantity: "force", read: "pedal_n", ask: "At which force of the foot does help end at {vacuum:67728}?", within: 0.1, truth: async (m) => (await m.curve()).knee.pedal_n } },
      { title: "Half the vacuum", set: [["vacuum", "10 inHg"]], text: "A long cam, or a mountain pass, leaves the engine half the vacuum. This car now idles at {vacuum:33864}.", task: { kind: "number", quantity: "force", read: "pedal_n", ask: "At which force does help end at {vacuum:33864}?", within: 0.1, truth: async (m) => (await m.curve()).knee.pedal_n } },
      { title: "Half of it?", set: [["vacuum", "10 inHg"]], text: "Compare the two forces that you found.", task: { kind: "choice", ask: "With half the vacuum, the force at which help ends is", options: [["more", "more than half"], ["half", "just half"], ["less", "less than half"]], truth: async (m) => { const at = async (v) => (await m.curve([["vacuum", v]])).knee.pedal_n, share = await at("10 inHg") / await at("20 inHg"); return share > 0.52 ? "more" : share < 0.48 ? "less" : "half"; }, right: "The return spring must be pushed first, whatever the vacuum: what is left is less than half." } },
      { title: "A knee that walks", engine: "off", shown: true, text: "The engine is off. Every press uses vacuum up, and the knee walks down its dotted line with the vacuum in the chamber.", look: "the magenta dot in the curve, press after press.", task: { kind: "do", ask: "Press and let go until the knee is below {force:80}.", until: (f, page) => f.engine === "off" && f.pedal_n < 5 && (page.knee?.[0] ?? Infinity) < 80 } },
    ],
  },
  {
    title: "When the engine stops", car: { starter: "stock-ten-inch" },
    about: "What the check valve keeps, and how long it lasts.",
    notes: [
      "Aim: vacuum is a store, like air in a tyre. Without the engine it is used up stop by stop.",
      "Safety: pumping the pedal wastes vacuum. With a dead engine press once, firmly, and hold.",
      "The counted stops are those of the model for this car; on the road nobody should try them out.",
    ],
    steps: [
      { title: "The check valve", text: "Between engine and booster sits a valve that lets air out and never back. When the engine stops it shuts by itself.", task: { kind: "do", ask: "Turn the engine off, keep the foot away and wait five seconds: does the vacuum stay?", still: 5, until: (f) => f.engine === "off" && f.pedal_n < 1 } },
      { title: "One stop", engine: "off", text: "The engine is off and the booster full. Make one stop: {force:100} for two seconds, then let go and wait until both chambers read the same.", task: { kind: "number", quantity: "vacuum", read: "front_vacuum_pa", ask: "What vacuum is left after the first stop?", within: 0.06, least: 1000, truth: async (m) => (await m.reserve()).stops[0].vacuum_after_pa } },
      { title: "Down to half", engine: "off", text: "Make more such stops, {force:100} for two seconds each. Count them.", task: { kind: "number", quantity: "count", ask: "After how many stops is less than half of the vacuum left?", within: 0, truth: async (m) => { const { stops, start_vacuum_pa: start } = await m.reserve(); return stops.find((s) => s.vacuum_after_pa < start / 2).stop; } } },
      { title: "A tank in the hose", text: "A tank holds more vacuum. Below, under The car, set Reservoir to {tank} and read \"Stops left, at most heavy\" once it has been counted; compare it with a tank of 0.", task: { kind: "number", quantity: "count", ask: "How many more stops does the tank give?", within: 0, truth: async (m) => (await m.reserve([["reservoir", m.tank]])).heavy_stops - (await m.reserve([["reservoir", m.noTank]])).heavy_stops } },
      { title: "More help, or more stops?", text: "Press to the knee with and without the tank, engine running.", task: { kind: "choice", ask: "Does the tank raise the force at which help ends?", options: [["yes", "yes, it adds push"], ["no", "no, it adds stops only"]], truth: async (m) => { const knee = async (v) => (await m.curve([["reservoir", v]])).knee.pedal_n; return await knee(m.tank) > 1.05 * await knee(m.noTank) ? "yes" : "no"; }, right: "The vacuum is the same, there is only more of it." } },
    ],
  },
  {
    title: "From the pedal to the road", car: { starter: "stock-ten-inch" },
    about: "Lever, cylinder, brakes, tyres: what each passes on.",
    notes: [
      "Aim: follow one force through the whole car. A lever and two cylinders trade travel for force; nothing comes for free.",
      "Often heard: \"Locked wheels stop best.\" A sliding tyre holds less than a rolling one, and with locked front wheels the car does not steer.",
      "Tick \"Number every part\": the numbers go the way of the force, from the pedal to the road, then where the vacuum comes from.",
    ],
    steps: [
      { title: "The lever", text: "The pedal is a lever. Pedal ratio, under The car, says how many times the rod is pushed harder than the pad.", task: { kind: "number", quantity: "force", ask: "The foot gives {force:100}. What is the force on the rod?", within: 0.03, truth: async (m) => (await m.press(100)).input_n } },
      { title: "Pressure", manual: true, text: "Pressure is force over area. The booster is out; the pedal now has a ratio of {manual-ratio}, and the cylinder's piston has {manual-area}. Work it out, then press: springs and seals take their share of it.", task: { kind: "number", quantity: "pressure", read: "line_front_pa", ask: "What pressure does the page show for {force:100} of the foot without the booster?", within: 0.06, truth: async (m) => (await m.press(100)).manual.line_front_pa } },
      { title: "Weight moves forward", text: "While the car slows, weight moves to the front wheels, as you lean forward in a bus. The bars under the wheels show how much each axle carries.", task: { kind: "number", quantity: "percent", read: "front_load", ask: "How much of the weight is on the front axle while the foot holds {force:100}?", within: 0.03, truth: async (m) => (await m.press(100)).front_load } },
      { title: "Too much", text: "A tyre can hold only so much. Ask for more, and the wheel stops turning and slides.", task: { kind: "do", ask: "Press until the wheels of one axle lock.", until: (f) => f.front_locked || f.rear_locked } },
      { title: "Which first", text: "Press slowly, so that only one axle locks.", task: { kind: "choice", ask: "Which wheels lock first on this car?", options: [["front", "the front wheels"], ["rear", "the rear wheels"]], truth: async (m) => (await m.curve()).hard_stop.limited_by, right: "Cars are made so: a car whose rear wheels lock first turns round." } },
    ],
  },
  {
    title: "What is wrong with it?", car: { starter: "stock-ten-inch" }, hidden: true,
    about: "A hidden fault, found with gauge and ruler.",
    notes: [
      "Say one number to the class: the same number hides the same fault on every phone, today and next year. Another number, another fault. Nothing is sent anywhere.",
      "Aim: measure, compare with a sound car, and only then name a part. One reading seldom settles it.",
      "A guess that is wrong gets a column of its own: what a car with that fault would read. Let pupils say which figure does not fit.",
      "With \"What the model answers\" you see which fault a number hides.",
    ],
    steps: [
      { title: "The teacher's number", text: "Type the number that your teacher said. It hides one fault in this car; nothing tells where. Drive it: press, hold, let go, stop the engine. Then measure.", task: { kind: "fault", ask: "The teacher's number" } },
    ],
  },
  {
    title: "Which booster does it need?", car: { starter: "big-cam-nine" },
    about: "A car with half the vacuum: size, bore, lever, tank.",
    notes: [
      "Aim: a decision with several figures. More area gives more push at the same vacuum; a smaller bore or a longer lever gives force for travel.",
      "There is more than one right car in the second and third task: let groups defend theirs.",
      "The limits for easy and heavy are common practice, without a source.",
    ],
    steps: [
      { title: "A car with a long cam", text: "Its engine idles at only {vacuum:33864}, and a 9 in booster is fitted. Press slowly until the first wheels lock: that is the hardest stop it can make.", task: { kind: "number", quantity: "force", read: "pedal_n", ask: "What force does the foot need to lock the first axle?", within: 0.1, truth: async (m) => (await m.curve()).hard_stop.pedal_n } },
      { title: "How large a shell?", text: "{heavy} is the most that many drivers can give. Under The car, change Booster size (one diaphragm), and nothing else.", task: { kind: "car", ask: "Find the smallest shell, in steps of {shell}, with which that stop takes at most {heavy}.", check: async (m) => {
        const now = await m.car();
        if (now.kind !== "single") return "This task is about one diaphragm.";
        if (await m.changed(["diameter"])) return "Something else than the size was changed. Start the lesson again, or put it back.";
        const size = now.controls.find((c) => c.id === "diameter").value, takes = async (d) => (await m.curve([["diameter", d]])).hard_stop.pedal_n ?? Infinity;
        if (await takes(m.shell(size)) > m.heavy) return "With this shell the stop still takes more.";
        return await takes(m.shell(size - m.shellStep)) > m.heavy ? "" : "A smaller one would do.";
      } } },
      { title: "The shell stays", text: "There is no room for a larger shell, and the engine stays as it is. A tandem, another bore, another lever: choose what you like, but a pedal that runs too far meets the floor.", task: { kind: "car", ask: "With the 9 in shell, get that stop to {easy} or less, and the pedal to no more than {length:0.1} of travel there.", check: async (m) => {
        if (await m.changed(["kind", "bore", "pedal", "circuits", "reservoir"])) return "Vacuum, size and altitude have to stay as they were, and no fault may be in it.";
        const { pedal_n: takes } = (await m.curve()).hard_stop;
        if (takes === null || takes > m.easy) return "The stop still takes more than that.";
        return (await m.press(takes)).pedal_travel_m <= 0.1 ? "" : "The pedal runs too far.";
      } } },
      { title: "And with a dead engine?", keep: true, text: "Keep your car, and give it a tank if it needs one.", task: { kind: "car", ask: "At least two stops, each at most heavy, have to be left when the engine dies.", check: async (m) => ((await m.reserve()).heavy_stops >= 2 ? "" : "Fewer than two are left.") } },
      { title: "Up the mountain", keep: true, text: "Turn Altitude up. The air outside gets thinner, and so does the engine's vacuum.", task: { kind: "choice", ask: "At {altitude} the same stop takes", options: [["more", "more force"], ["same", "the same force"], ["less", "less force"]], truth: async (m) => { const up = (await m.curve([["altitude", "2000 m"]])).hard_stop.pedal_n ?? Infinity, here = (await m.curve([["altitude", "0 m"]])).hard_stop.pedal_n; return up > 1.02 * here ? "more" : up < 0.98 * here ? "less" : "same"; } } },
    ],
  },
];
