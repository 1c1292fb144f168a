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
      And the alert "dry run prevented" arrives within 10 s of "tank-low" operating

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
