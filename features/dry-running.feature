@hazard-dry-running
Feature: Dry running
  A pump does not run without water.

  Rule: The interlock stops the pump at low water

    @protection-interlock
    Scenario: The header tank is emptied while the drip lines run
      Given the site "tern-lane"
      And it is Monday 05:50
      And the level in "header-tank" is 400 mm
      And the supply "mains" is shut off
      When 1 min into the run of "drip", 180 L are drawn from "header-tank" within 5 min
      And 1 hour passes
      Then the pump "pump" runs dry for at most 1 s in all
      And the pump "pump" stops within 2 s of "tank-low" operating
      And the alert "dry run prevented" arrives within 30 s of "tank-low" operating

    @protection-interlock
    Scenario: Somebody fills cans from the cistern
      Given the site "rooftop-planters"
      And it is Monday 06:20
      And the level in "cistern" is 300 mm
      When 1 min into the run of "pump", 220 L are drawn from "cistern" within 8 min
      And 2 hours pass
      Then the pump "pump" runs dry for at most 1 s in all
      And the pump "pump" stops within 3 s of "cistern-low" operating

  Rule: A pump that was stopped rests

    Scenario: The low contact bounces while the level hovers at it
      Given the site "rooftop-planters"
      And it is Monday 06:20
      And the level in "cistern" is 185 mm
      And the soil of "planters" holds 25 % water
      When the contact "cistern-low" bounces for 157 ms with 20 edges at each change
      And 6 hours pass
      Then the pump "pump" starts at most 2 times
      And the pump "pump" stops within 4 s of "cistern-low" operating
      And the level in "cistern" stays above 150 mm

  Rule: A full tank starts the pump again

    @protection-interlock
    Scenario: Rain ends a dry spell
      Given the site "rooftop-planters"
      And it is Monday 06:20
      And the level in "cistern" is 170 mm
      When rain brings 200 L into "cistern" within 1 hour
      And 2 hours pass
      Then the pump "pump" starts within 5 s of "cistern-low" releasing
      And the pump "pump" runs for at most 2 min in all

  Rule: A pump that has drawn air is not left running without water

    Scenario: The pump draws a gulp of air and primes itself
      Kept because: the protection must not give a pump up that helps itself.

      Given the site "hillside-terrace"
      And the level in "terrace-tank" is 440 mm
      When 2 min into the fill, the pump "lift" draws air for 5 s
      And 2 hours pass
      Then the pump "lift" runs dry for at most 46 s in all
      And the pump "lift" is primed within 46 s
      And the level in "terrace-tank" rises to 790 mm within 40 min

    @protection-flow-alarms
    Scenario: A joint of the suction pipe lets air in
      Kept because: the pump runs dry although its tank is full, which no float can detect.

      Given the site "hillside-terrace"
      And the level in "terrace-tank" is 440 mm
      And the number of failed fills before the lock-out is 3
      And the pause after a failed fill is 10 min
      When 2 min into the fill, the pump "lift" draws air
      And 3 hours pass
      Then the pump "lift" runs dry for at most 5 min in all
      And the pump "lift" stops within 95 s of the pump "lift" running dry
      And the alert "fill locked out" arrives within 30 min

    @protection-flow-alarms
    Scenario: The float of the low contact hangs up and the sump runs empty
      Kept because: the interlock itself is what has failed, and the meter alone saves the pump.

      Given the site "hillside-terrace"
      And the level in "terrace-tank" is 440 mm
      And the level in "sump" is 300 mm
      When the float of "sump-low" jams released
      And 3 hours pass
      Then the pump "lift" runs dry for at most 5 min in all
      And the alert "no flow" arrives within 30 min

    @protection-flow-alarms
    Scenario: Water trickles into an empty sump, and the pump catches it again and again
      Kept because: a pump that starts again and again is worn out sooner than one that runs dry once.

      Given the site "hillside-terrace"
      And the level in "terrace-tank" is 300 mm
      And the level in "sump" is 200 mm
      And the float of "sump-low" jams released
      When rain brings 600 L into "sump" within 2 hours
      And 4 hours pass
      Then the pump "lift" runs dry at most 8 times
      And the pump "lift" starts at most 4 times

  Rule: A pump does not start too often

    @good-day
    Scenario: The pressure set waters the pots
      Given the site "courtyard-set"
      And it is Monday 06:00
      When 4 hours pass
      Then the pump "set" starts at most 10 times
      And the pump "set" runs for at most 2 min in all
      And the zone "pots" runs at least 1 time

    Scenario: The pressure vessel has lost its air
      Kept because: the starts of a pump that switches itself; the controller can only limit the run.

      Given the site "courtyard-set"
      And it is Monday 06:00
      And the pressure vessel of "set" has 10 % of its air left
      When 4 hours pass
      Then the pump "set" starts at most 80 times
      And the zone "pots" runs at least 1 time

  Rule: The interlock holds for every start

    Scenario: Somebody starts the drip lines remotely with the tank empty
      Given the site "tern-lane"
      And the level in "header-tank" is 200 mm
      And the supply "mains" is shut off
      When "drip" is started remotely for 10 min
      And 30 min pass
      Then the pump "pump" never starts

  Rule: A stopped pump rests

    Scenario: The tank is just low while the drip lines run
      Given the site "tern-lane"
      And it is Monday 05:50
      And the level in "header-tank" is 300 mm
      And the pump restart delay is 10 min
      When 1 min into the run of "drip", 30 L are drawn from "header-tank" within 1 min
      And 1 hour passes
      Then the pump "pump" runs for at most 12 min in all

  Rule: The interlock waits for nothing

    @mode-network-in-the-way
    Scenario: The network dies while the tank runs empty
      Given the site "tern-lane"
      And it is Monday 05:50
      And the level in "header-tank" is 400 mm
      And the supply "mains" is shut off
      And the tank "header-tank" leaks 6 L/min
      When as the level in "header-tank" falls to 265 mm, the access point stops answering
      And 1 hour passes
      Then the pump "pump" stops within 2 s of "tank-low" operating
      And the pump "pump" runs dry for at most 1 s in all

  Rule: A hung control loop is ended by the hardware around it

    Scenario: The controller hangs while the tank runs empty
      Given the site "tern-lane"
      And it is Monday 05:50
      And the level in "header-tank" is 400 mm
      And the supply "mains" is shut off
      When 1 min into the run of "drip", 100 L are drawn from "header-tank" within 5 min
      And as "tank-low" operates, the controller hangs
      And 2 hours pass
      Then the pump "pump" stops within 6 s
      And the pump "pump" runs dry for at most 10 s in all

  Rule: Each protection of a pump applies

    Scenario: The sump is emptied while the terrace tank is filled
      Given the site "hillside-terrace"
      And the level in "terrace-tank" is 420 mm
      And the level in "sump" is 300 mm
      When 150 L are drawn from "sump" within 5 min
      And 1 hour passes
      Then the pump "lift" stops within 3 s of "sump-low" operating
      And the pump "lift" runs dry for at most 1 s in all

  Rule: A pump that gives no water is noticed, and stopped where it can be

    @protection-flow-alarms
    Scenario: The pump on the hillside does not start
      Kept because: a pump that stands still is not dry, so no interlock acts, and only the meter can tell that no water comes.

      Given the site "hillside-terrace"
      And the level in "terrace-tank" is 440 mm
      When the pump "lift" does not start
      And 1 hour passes
      Then the alert "no flow" arrives within 3 min

    @protection-flow-alarms
    Scenario: Air is locked in the pump on the hillside
      Given the site "hillside-terrace"
      And the level in "terrace-tank" is 440 mm
      When 2 min into the fill, air is locked in the pump "lift" for 20 min
      And 2 hours pass
      Then the alert "no flow" arrives within 3 min
      And the pump "lift" is primed within 40 min

    @protection-longest-run
    Scenario: A worn pump on the hillside does not lift the water to the terrace
      Given the site "hillside-terrace"
      And the level in "terrace-tank" is 440 mm
      When the pump "lift" is worn to 37 % of its head
      And 8 hours pass
      Then the pump "lift" never runs longer than 60 min 5 s at a stretch
      And the alert "fill too long" arrives within 61 min of a fill beginning

    # Nothing in this house can stop a pump whose contactor has welded: an alert is sent, and the overflow carries the water.
    @protection-flow-alarms
    Scenario: The contactor of the pump on the hillside welds
      Given the site "hillside-terrace"
      And the level in "terrace-tank" is 440 mm
      When 2 min into the fill, the contactor of the pump "lift" welds for 3 h
      And 4 hours pass
      Then the alert "flow without call" arrives within 15 min of "terrace-high" operating
      And no water goes over the rim of "terrace-tank"
