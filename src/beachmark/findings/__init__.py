"""Where numbers become evidence: a computed value held against a cited limit.

| module | what it answers |
|---|---|
| `results` | the shape of a sum: inputs, result with range, limit, what it speaks for |
| `asking` | collects the inputs of a sum; what is missing is named, what is typical is marked assumed |
| `ranges` | draws, results with their range, and the input that makes most of it |
| `topics` | the questions that are argued, in their order |
| `informing` | a sum that informs and does not weigh |
| `torque`, `paths` | what caps a steady pull; before and after a change; every path of torque and which governs |
| `strength`, `more_strength`, `arm_notch` | arm root, tube, spline, needles in one pull and repeated |
| `measured` | strength as measured stands above the table |
| `yokes`, `hole` | ear, cap bolts, weld; the mouth of the fitting hole |
| `duty_damage` | damage over the duty |
| `readings`, `witnesses` | what twist, dents and fracture faces say of the torque; the bracket |
| `beach_marks` | whether the load changed while a crack grew |
| `angles`, `excitation` | joint angles; torsional and inertia excitation, what turning the slip would do |
| `joint_motion` | what each joint does by itself: swing of speed, side couples |
| `ride_height` | all of that over the travel of the suspension |
| `speed`, `whirl_line`, `balance` | pinned critical speeds; the whole line as a beam; unbalance |
| `twist`, `twist_swing` | the train from engine to wheels in torsion; how far it swings |
| `life`, `needles`, `bearing_forces`, `centre_bearings` | joint bearings and centre bearing |
| `population` | sister vehicles: is a difference between two groups chance |
| `curves` | what charts show beyond the sums |
| `sums` | all sums of one vehicle |
"""
