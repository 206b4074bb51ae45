"""The event, replayed on the train of a case: from what is installed and what was seen to evidence.

============  ==========================================================================================
module        what it does, in the order the data passes
============  ==========================================================================================
``numbers``   what the case states, else what is usual for its class of vehicle; each drawn
``line``      the shafts as springs with joints, and what their parts bear
``vehicle``   the whole train: engine to road
``driving``   an event in every draw: driver, road, brakes
``stepping``  how long a step an event bears
``running``   runs the events, finds what breaks first, calls the referee
``record``    what is kept: the peaks of every draw
``weighing``  how well each event fits what was seen
``proving``   the torque between what was set and what was not
``witness``   findings that the causes are weighed with
``telling``   sentences, and what to measure next
``reader``    all of it together: ``reading``
============  ==========================================================================================
"""
