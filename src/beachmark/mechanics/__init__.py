"""Mechanics: what the numbers say about a joint, a chain of joints, a tube, a bearing and the torque.

========================  ==========================================================================
module                    what it answers
========================  ==========================================================================
``hooke``                 how unevenly one Cardan joint turns, and what couple it puts on its yokes
``chain``                 what remains of that at the end of several joints in space
``travel``                what the angles, and what is left of it, do over the travel of the suspension
``fitting_corner``        which corners of a cross close and which open under torque
``hole_mouth``            what the hole of a grease fitting makes of the stress in its corner
``torque_path``           how much torque can reach the shaft, and what a shock makes of it
``torque_limits``         what lets go first: tyres, grade, locked axles, a stuck brake, a retarder
``whirl``                 at what speed a tube or a shaft with masses bows out, by closed formulas
``beam``                  the same for a whole driveline with steps, masses, joints and soft supports
``torsional``             at what frequencies the train from engine to wheels swings in twist, and in what shape
``replay``                what every part carried when an event is run through the whole train, in time
``torsional_response``    how far it swings when joints or firing strokes drive it
``torsional_orders``      at what speed, in which gear, an order meets such a frequency
``balance``               how much unbalance is allowed and what force it makes
``balance_sources``       what unbalance run-out, play and a lost weight make, and what it does to the supports
``centre_bearing_force``  what force the couples of the joints put on a centre bearing
``centre_bearing``        what tilt, shift, rubber and balls of a centre bearing bear
``orders``                which turning part a measured frequency belongs to
``needle_bearing``        load rating, life and contact pressure of a needle bearing that swings
``needle_load``           how heavily the needles of a cap are loaded, and what a dent says of the load
``trunnion``              stress at the root of a cross arm and at its notches
``yoke``                  stress in the ears of a yoke and in its weld to the tube
``cap_bolts``             what a tightened cap bolt clamps, and what is left of it under a pull
``tube``                  yield, full plasticity, twist and buckling of a tube in torsion
``spline``                stress in the teeth and the root of a spline
``measured_strength``     how strong the part in hand is: by its hardness, a coupon, a proof test
``fatigue``               cycles to failure, summed damage, growth of a crack
``rainflow``              which cycles a history of load holds
``duty``                  what a spectrum of cycles costs in life
``life_data``             how long parts lived, over many of them: Weibull life, repairs of a fleet
``fracture_reading``      what load the last zone, beach marks and striations of a fracture speak of
``twist_reading``         what torque a tube or bar has seen, by the twist that stayed in it
``torque_witness``        between which torques all parts together leave the event
``band``                  a value known as least, likeliest and greatest
``sampling``              what doubt about the inputs leaves open in a result, and which input makes most of it
========================  ==========================================================================

Conventions in force
    SI throughout (m, N, N m, Pa, rad, rad/s, kg, s), plain floats or NumPy arrays; only life is in
    hours or in a count of cycles. Every argument is passed by keyword and carries its unit.
    Coordinates: x rearward, y to the right-hand side, z up. Angles turn by the right-hand rule about
    the shaft's rearward direction.
    A joint's *driving yoke* is the one nearer the input; its pin is the reference of the drive angle.
    Torsional acceleration is an amplitude, zero to peak.
    An argument that is not finite or lies outside the stated range raises ``ValueError`` with one
    sentence: which argument, what value, what is allowed.
"""
