Feature: Times of day, counts, and how long something lasts at the least
  Scenario: Times of day
    Given the site "kitchen-garden"
    And it is 04:30
    When at 05:10, the internet is down for 10 min
    And the clock reaches 06:30
    Then the valve "drip" closes by 05:35
    And the controller is connected by 05:35
    And each run of the zone "drip" lasts at least 10 min
    And the zone "drip" runs exactly 1 time
    And the valve "drip" opens between 1 and 3 times
    And the controller tries to connect at least 1 time
    And at least 5 s pass between two connection attempts
  Scenario: While
    Given the site "kitchen-garden"
    And it is 04:30
    When "lawn" is started remotely for 20 min
    And 2 min pass
    And while the zone "lawn" runs, the probe "turf-probe" is unplugged
    And 1 hour passes
    Then an alert arrives within 15 min
    And at least 1 alert "probe fault" arrives
    And between 1 and 2 alerts "probe fault" arrive
    And at least 1 alert arrives
  Scenario: While, waiting
    Given the site "kitchen-garden"
    And it is 04:30
    When while the zone "drip" runs, the probe "turf-probe" is unplugged
    And 1 hour passes
    Then an alert arrives within 15 min of the valve "drip" opening
  Scenario: A tap
    Given the site "allotment-tank"
    And the level in "tank" is 310 mm
    When every 5 min, 6 times, a tap draws 12 L/min from "tank" for 1 min
    And 6 hours pass
    Then the level in "tank" stays above 100 mm
    And the valve "top-up" stays shut for at least 10 s between two openings
    And the valve "top-up" stays open for at least 10 s each time
  Scenario: Midnight
    Given the site "allotment-tank"
    And it is 21:00
    And the level in "tank" is 280 mm
    When 6 hours pass
    Then the level in "tank" rises to 600 mm by 23:00
    And the alert "spill" arrives by 00:00
