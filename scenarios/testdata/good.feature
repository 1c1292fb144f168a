@hazard-flood
Feature: What scripts look like

  Background:
    Given the site "tern-lane"

  Scenario: Only time
    Given it is Monday 05:50
    When 6 hours pass
    Then the zone "drip" runs at least 1 time
    And the level in "header-tank" stays above 100 mm

  @protection-cut-off
  Scenario: A standing fault, a stimulus, a fault tied to an event
    Given the level in "header-tank" is 300 mm
    And the longest run of a fill is 10 min
    And the standpipe of "header-tank" is blocked by 50 %
    When 150 L are drawn from "header-tank" within 2 minutes
    And 30 s into the fill, the valve "top-up" sticks open for 1 h
    And 2 h pass
    Then no water goes over the rim of "header-tank"
    And the valve "master" closes within 5 s of "tank-spill" operating
    And the alert "spill" arrives within 3 h

  Scenario: The Givens pass time
    Given "sprays" is started remotely for 10 min
    And 4 min have passed
    When the access point stops answering
    Then the valve "sprays" closes within 6 min 5 s
    But no alert "run limit reached" arrives

  Scenario: The same twice
    When the power goes off for 3 s
    And 1 min passes
    And 5 s after the power returns, the power goes off for 3 s
    And 10 min pass
    Then a report arrives within 16 min of the power returning

  Rule: A rule has a title

    Scenario Outline: Rows
      When the supply "mains" falls to <share> of its pressure
      And 1 hour passes
      Then the pressure at "mains" stays above 0.5 bar

      Examples:
        | share |
        | 40 %  |
        | 20 %  |
