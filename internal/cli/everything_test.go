package cli

// everything is a car with a section for each study, small enough to ask them all.
const everything = `# The test car of a report.
title = "Test car <with> \"signs\" & all"
[source]
kind = "engine"
vacuum = "16 inHg"
[booster]
diameter = "9 in"
[pedal]
ratio = 4.0
[master]
bore = "1 in"
circuits = "dual"
[brake.front]
radius = "110 mm"
[choose]
stops_left = 1
boosters = ["9 in", "none"]
reservoirs = ["0 L"]
pumps = [false]
bores = ["1 in"]
manual_ratios = [5.5]
[[reading]]
test = "manifold-vacuum"
value = "16 inHg"
error = "0.5 inHg"
[[press]]
at = "0.2 s"
pedal = "100 N"
hold = "0.3 s"
`
