@hazard-dry-out
Feature: Dry-out
  Plants get their water, also when something fails for a while.

  Rule: A dry bed is watered

    @good-day
    Scenario: The propagation bed has dried to its threshold
      Given the site "tern-lane"
      And the soil of "bed" holds 22 % water
      When 6 hours pass
      Then the soil of "bed" reaches 28.5 % water within 2 h of the valve "sprays" opening
      And the soil of "bed" stays above 20 % water
      And no alert arrives

    @good-day
    Scenario: Drip lines run twice a day
      Given the site "tern-lane"
      And it is Monday 05:50
      When 25 hours pass
      Then the zone "drip" runs at least 2 times
      And the pump "pump" never runs longer than 20 min 5 s at a stretch
      And the level in "header-tank" stays above 250 mm

    @good-day
    Scenario: A day and a night on the roof
      Given the site "rooftop-planters"
      When 31 hours pass
      Then the zone "pump" runs at least 2 times
      And the soil of "planters" stays above 25 % water
      And the level in "cistern" stays above 300 mm
      And no alert arrives

    @good-day
    Scenario: A day on the allotment
      Given the site "allotment"
      And it is Monday 05:50
      And the level in "barrel" is 240 mm
      When 15 hours pass
      Then the zone "rows" runs at least 2 times
      And the valve "rows" is never open longer than 30 min 5 s at a stretch
      And the level in "barrel" rises to 690 mm within 1 h of a fill beginning
      And no alert arrives

  Rule: Low pressure is made up for

    Scenario: The supply is at 40 % all evening
      Kept because: weak water is no failure to a customer, and the plants must get what they need all the same.

      Given the site "tern-lane"
      And the soil of "bed" holds 22 % water
      When the supply "mains" falls to 40 % of its pressure for 4 h
      And 6 hours pass
      Then the soil of "bed" stays above 20 % water
      And the soil of "bed" reaches 26 % water within 2 h
      And the valve "sprays" is never open longer than 6 min 5 s at a stretch

    @protection-flow-alarms
    Scenario: The supply is off for twenty minutes when a fill begins
      Given the site "tern-lane"
      And the level in "header-tank" is 240 mm
      When as a fill begins, the supply "mains" is shut off for 20 min
      And 2 hours pass
      Then the level in "header-tank" rises to 700 mm within 40 min
      And no water reaches the overflow of "header-tank"
      And no alert "fill locked out" arrives

    @good-day
    Scenario: Before dawn the mains are strong enough for the sprinklers
      Given the site "kitchen-garden"
      And it is Monday 04:00
      When "lawn" is started remotely for 20 min
      And 2 hours pass
      Then the nozzles of "sprinklers" run below working pressure for at most 10 s in all
      And at least 300 L run through "meter"

    Scenario: The filter was not cleaned all season
      Given the site "kitchen-garden"
      And the soil of "turf" holds 21 % water
      And the filter "filter" is blocked by 80 %
      When 24 hours pass
      Then the soil of "turf" stays above 20 % water
      And the filter "filter" is never blocked by more than 90 %

    Scenario: The pressure fades while the tank is filled
      Kept because: it comes slowly, where the other failures of the supply come at once.

      Given the site "tern-lane"
      And the level in "header-tank" is 240 mm
      When 1 min into the fill, gradually over 10 min, the supply "mains" falls to 40 % of its pressure for 2 h
      And 2 hours pass
      Then the level in "header-tank" rises to 690 mm within 12 min
      And no water reaches the overflow of "header-tank"

    Scenario: Lime clogs half of each sprinkler
      Given the site "kitchen-garden"
      And the soil of "turf" holds 21 % water
      When the nozzles of "sprinklers" are clogged by 50 %
      And 24 hours pass
      Then the soil of "turf" stays above 20 % water
      And the zone "lawn" runs at least 2 times
      And the valve "lawn" is never open longer than 30 min at a stretch

    Scenario: Half of each emitter is clogged
      Given the site "kitchen-garden"
      And it is Monday 04:55
      When the emitters of "drip lines" are clogged by 50 %
      And 2 hours pass
      Then the zone "drip" runs at least 1 time
      And the valve "drip" is never open longer than 20 min 5 s at a stretch
      And at least 40 L run through "meter"

    Scenario: Somebody closes the throttle of the lawn further
      Given the site "kitchen-garden"
      And the soil of "turf" holds 21 % water
      When somebody sets the throttle "lawn throttle" to 20 %
      And 24 hours pass
      Then the soil of "turf" stays above 20 % water
      And the valve "lawn" is never open longer than 30 min at a stretch
      And the zone "lawn" runs at least 1 time

  Rule: One contact does not stop the water for long

    @protection-debounce
    Scenario: A knock on the tank does not end a fill
      Given the site "tern-lane"
      And the level in "header-tank" is 240 mm
      When 2 min into the fill, the float of "tank-high" jams operated for 30 ms
      And 1 hour passes
      Then the level in "header-tank" rises to 700 mm within 10 min
      And no water reaches the overflow of "header-tank"

  Rule: A start by a person ends a lock-out

    # The first fill after the start finds no water yet; the count of failures begins anew.
    Scenario: Somebody starts the fill after it was locked out
      Given the site "allotment"
      And the level in "barrel" is 240 mm
      When the supply "standpipe" is shut off for 55 min
      And 30 min after the alert "fill locked out" arrives, "barrel-valve" is started remotely for 1 min
      And 2 hours pass
      Then the level in "barrel" rises to 650 mm within 30 min
      And no water goes over the rim of "barrel"

  Rule: Water from elsewhere runs on

    Scenario: The mains fail while the drip lines are fed from the tank
      Kept because: two zones with water of their own, and the one without any is noticed although the other runs.

      Given the site "tern-lane"
      And it is Monday 05:50
      And the supply "mains" is shut off
      When 2 min into the run of "drip", "sprays" is started remotely for 10 min
      And 1 hour passes
      Then the valve "sprays" closes within 90 s
      And the alert "no flow" arrives within 90 s

  Rule: A remote start runs for its whole time

    @good-day
    Scenario: Sprays are started remotely in the afternoon
      Given the site "tern-lane"
      And 2 hours have passed
      When "sprays" is started remotely for 5 min
      And 30 min pass
      Then at least 75 L run through "meter"
      And the valve "sprays" closes within 5 min 5 s

  Rule: The programme runs day after day

    @good-day
    Scenario: A night between two runs of the drip lines
      Given the site "tern-lane"
      And it is Monday 17:50
      When 13 hours pass
      Then the zone "drip" runs at least 2 times
      And the valve "drip" is never open longer than 20 min 5 s at a stretch

  Rule: A reading near an end of the scale is a reading

    @good-day
    Scenario: A bed has dried out far
      Given the site "tern-lane"
      And the soil of "bed" holds 7 % water
      When 2 hours pass
      Then the zone "sprays" runs at least 3 times
      And the valve "sprays" is never open longer than 6 min 5 s at a stretch
      And no alert "probe fault" arrives

  Rule: A wrong reading does not let a bed dry out

    Scenario: The plug of the probe corrodes
      Kept because: the bed looks wetter than it is; it says how far the soil dries out until somebody mends the plug.

      Given the site "tern-lane"
      And the soil of "bed" holds 21 % water
      When the plug of "bed-probe" corrodes to 50 kohm
      And 36 hours pass
      Then the soil of "bed" stays above 18 % water
      And the zone "sprays" runs at least 2 times

    Scenario: Salt makes the probe show more water than there is
      Kept because: it says how much too wet a probe may read before the bed suffers.

      Given the site "tern-lane"
      And the soil of "bed" holds 22 % water
      When the probe "bed-probe" reads 2 % above the actual water content
      And 24 hours pass
      Then the soil of "bed" stays above 20 % water
      And the zone "sprays" runs at least 2 times

  Rule: Watering and filling are resumed after a power cut

    Scenario: The power fails during a cycle
      Kept because: what was going on is taken up again; it guards the moisture rule against a mistake that nobody has
      seeded.

      Given the site "tern-lane"
      And the soil of "bed" holds 22 % water
      When 2 min into the run of "sprays", the power goes off for 10 min
      And 6 hours pass
      Then the soil of "bed" reaches 28.5 % water within 3 h
      And the valve "sprays" closes within 5 s

    Scenario: Everything is due at once when the power returns
      Given the site "tern-lane"
      And it is Monday 05:30
      And the level in "header-tank" is 240 mm
      And the soil of "bed" holds 20 % water
      When everything is due at once after 1 h without power
      And 12 hours pass
      Then the level in "header-tank" rises to 690 mm within 30 min of the power returning
      And the zone "sprays" runs at least 3 times
      And no water reaches the overflow of "header-tank"
      And at most 1 alert arrives

    # IEC 61000-4-11: dips and the short interruption of classes 2 and 3, as listed by secondary sources.
    Scenario Outline: The supply dips to <share> for <time> as a fill begins
      Kept because: the dips of a published test of immunity, at the moment when a coil draws its current as well.

      Given the site "tern-lane"
      And the level in "header-tank" is 240 mm
      When 10 s into the fill, the supply dips to <share> for <time>
      And 1 hour passes
      Then the level in "header-tank" rises to 690 mm within 12 min
      And no water reaches the overflow of "header-tank"
      And at most 1 alert arrives

      Examples:
        | share | time   |
        | 0 %   | 20 ms  |
        | 40 %  | 200 ms |
        | 70 %  | 500 ms |
        | 80 %  | 5 s    |
        | 0 %   | 5 s    |

    Scenario: An update is cut short as a fill begins
      Given the site "tern-lane"
      And the level in "header-tank" is 240 mm
      When 10 s into the fill, an update that takes 60 s is interrupted halfway
      And 1 hour passes
      Then the level in "header-tank" rises to 690 mm within 12 min
      And the alert "restarted" arrives within 1 min
      And no water reaches the overflow of "header-tank"

  Rule: A success clears the count of failures

    Scenario: The supply fails twice, with a good fill between
      Given the site "tern-lane"
      And the level in "header-tank" is 240 mm
      When as a fill begins, the supply "mains" is shut off for 15 min
      And 1 hour passes
      And 260 L are drawn from "header-tank" within 10 min
      And as "tank-low" operates, the supply "mains" is shut off for 13 min
      And 2 hours pass
      Then the level in "header-tank" rises to 700 mm within 40 min of "tank-low" operating
      And no alert "fill locked out" arrives

    Scenario: A leak is mended while the controller pauses after a failed fill
      Given the site "tern-lane"
      And the level in "header-tank" is 240 mm
      And the pause after a failed fill is 30 min
      When the tank "header-tank" leaks 40 L/min for 52 min
      And 3 hours pass
      Then the level in "header-tank" rises to 700 mm within 80 min of a fill beginning
      And no alert "fill locked out" arrives

  Rule: A protection lets go when its cause is gone

    Scenario: The float of the high contact comes free after the cut-off has operated
      Given the site "tern-lane"
      And the level in "header-tank" is 240 mm
      When the float of "tank-high" jams released for 20 min
      And 30 min pass
      And 400 L are drawn from "header-tank" within 10 min
      And 2 hours pass
      Then the level in "header-tank" rises to 700 mm within 20 min of "tank-low" operating

    Scenario: The mains come back after the sprays were given up
      Given the site "tern-lane"
      And the soil of "bed" holds 20 % water
      And the number of cycles before the moisture rule gives up is 6
      And the rest of the moisture rule is 2 h
      When the supply "mains" falls to 8 % of its pressure for 4 h
      And 12 hours pass
      Then the soil of "bed" reaches 26 % water within 8 h
      And the valve "sprays" is never open longer than 6 min 5 s at a stretch

    Scenario: The pump is blocked in the morning and free in the evening
      Given the site "tern-lane"
      And it is Monday 05:50
      And the level in "header-tank" is 400 mm
      When 1 min into the run of "drip", 100 L are drawn from "header-tank" within 5 min
      And 12 hours pass
      Then the pump "pump" starts within 20 min of "tank-low" releasing

  Rule: Cycles that did their work do not count towards giving up

    Scenario: Four days of two or three cycles each
      Given the site "tern-lane"
      And the soil of "bed" holds 22 % water
      When 96 hours pass
      Then the soil of "bed" stays above 20 % water
      And the valve "sprays" is never open longer than 6 min 5 s at a stretch
      And no alert "still dry" arrives

  Rule: A shared master valve stays open while another zone needs it

    Scenario: The sprays end while the tank is filled
      Given the site "tern-lane"
      And the level in "header-tank" is 240 mm
      When "sprays" is started remotely for 3 min
      And 1 hour passes
      Then the level in "header-tank" rises to 700 mm within 14 min of a fill beginning

  Rule: A clock that is put right costs one run at the most

    Scenario: The clock jumps forward over a start
      Given the site "tern-lane"
      And it is Monday 05:30
      When the clock jumps forward by 2 h
      And 24 hours pass
      Then the zone "drip" runs at least 2 times
      And the valve "drip" is open for at most 41 min in all

  Rule: The clock goes on through a power cut

    Scenario: The power fails before dawn
      Given the site "kitchen-garden"
      And it is Monday 04:00
      When the power goes off for 1 min
      And 2 hours pass
      Then the zone "drip" runs at least 1 time
      And the valve "drip" is never open longer than 20 min 5 s at a stretch

  Rule: A supply that is weak now and then does not leave plants dry

    Scenario: The pressure falls through the evening while the tank is filled
      Given the site "tern-lane"
      And the level in "header-tank" is 240 mm
      When 1 min into the fill, the supply "mains" falls to 40 % of its pressure within 20 min
      And 3 hours pass
      Then the level in "header-tank" rises to 690 mm within 30 min of a fill beginning
      And no water reaches the overflow of "header-tank"

    Scenario: The neighbours water every evening
      Given the site "tern-lane"
      And the soil of "bed" holds 22 % water
      And it is Monday 18:00
      When every day for 2 h the supply "mains" falls to 20 % of its pressure
      And 48 hours pass
      Then the soil of "bed" reaches 26 % water within 5 h
      And the soil of "bed" stays above 21 % water
      And the valve "sprays" is never open longer than 6 min 5 s at a stretch

    Scenario: The booster in the cellar pulses
      Given the site "tern-lane"
      And the level in "header-tank" is 240 mm
      When the supply "mains" pulses down to 50 % of its pressure every 20 s for 1 h
      And 2 hours pass
      Then the level in "header-tank" rises to 690 mm within 20 min of a fill beginning
      And no alert arrives

    @protection-flow-alarms
    Scenario: The spray line is frozen in the morning
      Given the site "tern-lane"
      When the pipe "spray line" is frozen for 3 h
      And "sprays" is started remotely for 10 min
      And 1 hour passes
      Then the alert "no flow" arrives within 2 min

  Rule: A probe that reads a little too wet does not dry the bed out

    Scenario: A tenth of the probe stands in water
      Given the site "tern-lane"
      And the soil of "bed" holds 20 % water
      When 10 % of the probe "bed-probe" stands in water
      And 24 hours pass
      Then the soil of "bed" stays above 15 % water
      And the zone "sprays" runs at least 1 time

    Scenario: The probe shows a tenth more than there is
      Given the site "tern-lane"
      And the soil of "bed" holds 19 % water
      When the probe "bed-probe" reads 1.1 times the actual water content
      And 24 hours pass
      Then the soil of "bed" reaches 24 % water within 4 h
      And the zone "sprays" runs at least 1 time

    @protection-cycle-limit
    Scenario: Dry and wet of the probe are swapped
      Given the site "tern-lane"
      And the soil of "bed" holds 34 % water
      When the dry and wet points of the probe "bed-probe" are swapped
      And 8 hours pass
      Then the alert "still dry" arrives within 4 h
      And the zone "sprays" runs at most 8 times
