"""Beliefs about the cause and where it sits, and every step of how they came about.

| module | what it answers |
|---|---|
| `items` | evidence in one form: what was seen, what follows from it, what was computed |
| `hypotheses` | which causes at which places are weighed, and how places relate |
| `likelihood` | how likely each answer is under each hypothesis |
| `belief` | dependence groups, priors, posterior over cause and place |
| `explain` | contributions with words; the strength of the belief in words |
| `origin` | root cause and consequences of the first failure |
| `ask` | gates and the next best questions |
| `change` | what would change the answer; does it hold without each item |
| `opinion` | the whole diagnosis of a case in one value |
"""
