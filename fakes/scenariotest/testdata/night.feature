Feature: A night in the nursery
  Rule: No single fault puts water on the floor
    Scenario: The high float hangs down
      Given the site "tern-lane"
      And the level in "header-tank" is 240 mm
      And the float of "tank-high" jams released
      When 1 hour passes
      Then no water goes over the rim of "header-tank"
      And the valve "top-up" closes within 3 s of "tank-spill" operating
