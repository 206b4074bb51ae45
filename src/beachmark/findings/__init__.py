"""Where numbers become evidence: a computed value held against a cited limit.

| module | what it answers |
|---|---|
| `results` | the shape of a sum: inputs, result with range, limit, what it speaks for |
| `asking` | collects the inputs of a sum; what is missing is named, what is typical is marked assumed |
| `geometry` | joint angles, torsional and inertia excitation, what turning the slip would do |
| `torque` | torque by engine and by tyre grip; before and after a change |
| `strength` | arm root once and repeated, tube, spline, needles |
| `speed` | bending critical speed against the speeds the shaft reaches |
| `life` | joint bearing life against the distance run |
| `population` | sister vehicles: is a difference between two groups chance |
| `sums` | all sums of one vehicle |
"""
