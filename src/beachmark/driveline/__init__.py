"""What is installed: vehicle, shafts, joints, supports, part sizes, as frozen values.

| module | what it holds |
|---|---|
| `positions` | the address of every part from the gearbox rearward, and how two addresses relate |
| `fields` | how a part's field is described once: dimension, limits, words |
| `usual` | what sizes usually are: outside of it a value is asked back, never refused |
| `parts` | tube, slip, cross, yoke, joint, shaft, centre bearing |
| `vehicle` | engine, gearbox, axle, tyre, duty, suspension, and what stood there before a change |
| `train` | the whole driveline; directions, distances, phases derived from what is known |
| `catalogue` | part sizes by name, from the user's own file |
"""
