Feature: What is wrong

  Scenario: Names and units
    Given the site "tern-lane"
    And the level in "haeder-tank" is 300 mm
    And the level in "header-tank" is 300 L
    And the longest run of a fill is 10 mm
    And the number of failed fills before the lock-out is 0
    When the float of "tank-hgih" jams operated
    And the valve "tank-high" sticks open
    And the supply "mains" falls to 140 % of its pressure
    And the contact "tank-high" bounces for 20 s with 20 edges at each change
    And 900 L are drawn from "header-tank" within 1 s
    And 10 min ± 1 min pass
    Then the alert "spil" arrives within 5 s
    And the valve "top-up" closes within 5 bar of "tank-spill" operating

  Scenario: A site that is not there
    Given the site "tern-lan"
    When 1 hour passes
    Then no alert arrives

  Scenario: No site at all
    When 1 hour passes
    Then no alert arrives

  Scenario: Phrases that nobody knows
    Given the site "tern-lane"
    When the float of "tank-high" jams operating
    And the wind blows
    Then the valve "top-up" closes in 5 s
    And no water runs over the rim of "header-tank"

  Scenario: The wrong way round
    Given the site "tern-lane"
    Then no alert arrives
    When 1 hour passes
    And no alert arrives

  Scenario: No time
    Given the site "tern-lane"
    When the access point stops answering
    Then no alert arrives
    And the valve "top-up" closes within 5 s of "tank-spill" operating

  Scenario: No deadline
    Given the site "tern-lane"
    When 1 hour passes
    Then the valve "top-up" closes within 5 s

  Scenario: No outcome
    Given the site "tern-lane"
    When 1 hour passes

  Scenario: A standing fault with an end
    Given the site "tern-lane"
    And the supply "mains" is shut off for 1 h
    And as "tank-low" operates, the supply "mains" is shut off
    When 1 hour passes
    Then no alert arrives

  Scenario: Events that nobody knows
    Given the site "tern-lane"
    When as the moon rises, the supply "mains" is shut off
    And before the fill, the supply "mains" is shut off
    And 1 hour passes
    Then the valve "top-up" closes within 5 s of "tank-spill" operates

  @protection-cutoff @hazard-flod @hazzard-flood @fault-valve.stuck-opn @proection-cut-off @of-our-own
  Scenario: A tag that nobody knows
    Given the site "tern-lane"
    When 1 hour passes
    Then no alert arrives

  Scenario: Settings that do not go together
    Given the site "tern-lane"
    And the level in "header-tank" is 900 mm
    And the reading at which the moisture rule stops is 20 %
    When 1 hour passes
    Then no alert arrives

  Scenario: Things that this site has not got
    Given the site "rooftop-planters"
    And the longest run of a fill is 10 min
    When 30 s into the fill, the float of "tank-high" jams operated
    And 1 hour passes
    Then the water through "meter" stops within 5 s of a fill beginning

  Scenario: A table, a star and a second site
    Given the site "tern-lane"
      | a |
    And the site "tern-lane"
    * 1 hour passes
    And the site "rooftop-planters"
    When 1 hour passes
    Then no alert arrives

  Scenario: A text, a table, and too long a run
    Given the site "tern-lane"
      """
      nobody reads this
      """
    When "sprays" is started remotely for 3 days
    And 1 hour passes
    Then no alert arrives
      | nor | this |

  Scenario: Outcomes that could not fail
    Given the site "tern-lane"
    When 10 L are drawn from "header-tank" within 10 min
    And 1 hour passes
    Then the level in "header-tank" stays below 5 m
    And the level in "header-tank" stays above 0 mm
    And the pressure at "mains" stays above 0 bar
    And at least 0 L run through "meter"
    And at least 0 reports arrive
    And the zone "sprays" runs at least 0 times
    And the soil of "bed" stays below 100 % water
    And the soil of "bed" stays above 0 % water

  Scenario: Limits that are out of reach
    Given the site "tern-lane"
    When 10 L are drawn from "header-tank" within 10 min
    And 1 hour passes
    Then the valve "top-up" is never open longer than 3 h at a stretch
    And the pump "pump" runs for at most 1 h in all
    And reports keep arriving at least every 2 h
    And the level in "header-tank" rises to 2 m within 10 min
    And the soil of "bed" reaches 60 % water within 10 min

  Scenario: Slips that are hard to see
    Given the site “tern-lane”
    And the level in  "header-tank" is 250 mm
    And the level in 'header-tank' is 250 mm
    When 1,5 hours pass
    And The power is lost for 3 s.
    Then no alert arrives

  Scenario: Valves that have no such thing
    Given the site "tern-lane"
    When the valve "top-up" needs 4 bar to seat
    And the bleed of the valve "top-up" is blocked
    And the valve "top-up" takes 1 h to close
    And 1 hour passes
    Then the surge at "drip" stays below 10 bar
    And no column separation occurs at "master"

  Scenario: Equipment that this site has not got
    Given the site "tern-lane"
    When the source resistance rises by 6 ohm
    And the battery has 15 % of its charge left
    And the weir of "header-tank" is blocked by 50 %
    And the transmitter of "bed-probe" reports a failure by a low current
    And the transmitter of "bed-probe" reports a failure by a high current
    And 1 hour passes
    Then no alert arrives

  Scenario: Givens that contradict one another
    Given the site "tern-lane"
    And it is Monday 05:50
    And it is Monday 06:50
    And the level in "header-tank" is 300 mm
    And the level in "header-tank" is 400 mm
    And the soil of "bed" holds 20 % water
    And the soil of "bed" holds 20 % water
    And the longest run of a fill is 10 min
    And the longest run of a fill is 20 min
    And the valve "top-up" sticks open
    And the valve "top-up" stays shut
    And the valve "sprays" stays shut
    And the lead of "tank-high" breaks
    And the lead of "tank-high" is shorted
    And the coil of "sprays" breaks
    And the coil of "sprays" shorts
    And the lead of "bed-probe" touches ground
    And the probe "bed-probe" is unplugged
    And the float of "tank-low" jams operated
    And the float of "tank-low" jams released
    And 1 min have passed
    And 1 min have passed
    When 1 hour passes
    Then no alert arrives
