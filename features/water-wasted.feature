@hazard-water-wasted
Feature: Water wasted
  No more water runs than was asked for, and a run that nobody ends, ends.

  Rule: A remote start ends without the network

    @good-day
    Scenario: Five minutes of sprays from afar
      Given the site "tern-lane"
      When "sprays" is started from afar for 5 min
      And 30 min pass
      Then the valve "sprays" closes within 5 min 5 s
      And at most 100 L run through "meter"
      And no alert arrives

    Scenario: The access point dies while the sprays run
      Given the site "tern-lane"
      And "sprays" is started from afar for 10 min
      And 4 min have passed
      When the access point stops answering
      And 30 min pass
      Then the valve "sprays" closes within 6 min 5 s
      And at most 120 L run through "meter"

    @protection-run-limit
    Scenario: Somebody asks for four hours of sprays
      Given the site "tern-lane"
      When "sprays" is started from afar for 4 h
      And 5 hours pass
      Then the valve "sprays" is never open longer than 15 min 5 s at a stretch
      And at most 300 L run through "meter"
      And the alert "run limit reached" arrives within 16 min

  Rule: A fill that does not fill the tank ends, and is not tried for ever

    @protection-longest-run
    Scenario: The tank leaks as fast as it is filled
      Given the site "tern-lane"
      And the level in "header-tank" is 240 mm
      When 1 min into the fill, the tank "header-tank" leaks 28 L/min
      And 1 hour passes
      Then the valve "top-up" is never open longer than 25 min 5 s at a stretch
      And the alert "fill too long" arrives within 26 min

    @protection-lock-out
    Scenario: The tank leaks all night
      Given the site "tern-lane"
      And the level in "header-tank" is 240 mm
      When the tank "header-tank" leaks 40 L/min
      And 8 hours pass
      Then at most 2400 L run through "meter"
      And the alert "fill locked out" arrives within 2 h

  Rule: A leak is noticed

    @protection-flow-alarms
    Scenario: Grit keeps the top-up valve from closing
      Given the site "fish-house-sump"
      And the level in "sump" is 170 mm
      When as the valve "top-up" begins to close, grit holds the valve "top-up" open by 5 %
      And 2 hours pass
      Then the alert "flow without call" arrives within 10 min
      And no water goes over the rim of "sump"

  Rule: A latching valve that opens can also be shut
    @protection-keep-charge
    Scenario: The battery gives out while the rows are watered
      Given the site "allotment"
      When 5 min into the run of "rows", the battery has 15 % of its charge left
      And "rows" is started from afar for 30 min
      And 3 hours pass
      Then the valve "rows" closes within 5 s
      And at most 20 L run through "meter"
      And the alert "low battery" arrives within 10 s

    # The pulse that should shut it at the boot opens it.
    Scenario: The leads of the latching valve are swapped
      Given the site "allotment"
      And the leads of "rows" are swapped
      When 2 hours pass
      Then the alert "flow without call" arrives within 10 min of the valve "rows" opening

    Scenario: The plunger of the latching valve jams open
      Given the site "allotment"
      When 5 min into the run of "rows", the plunger of "rows" jams
      And "rows" is started from afar for 10 min
      And 3 hours pass
      Then the alert "flow without call" arrives within 30 min

  Rule: A bed takes up what it is given

    @good-day
    Scenario: A dry bed is brought back in cycles
      Given the site "tern-lane"
      And the soil of "bed" holds 20 % water
      When 8 hours pass
      Then at most 5 L drain from "bed"
      And the zone "sprays" runs at least 3 times
