@hazard-overheating
Feature: Overheating
  No coil burns, whatever its plunger does.

  Rule: A run ends before a coil gets too hot
    # 130 °C is the limit of insulation class B (IEC 60085, from memory).
    @protection-run-limit
    Scenario: The plunger of the lawn valve jams
      Kept because: the temperature of the coil comes from its current and the longest run; no firmware reads it.

      Given the site "court-garden"
      When as the valve "lawn" begins to open, the plunger of "lawn" jams
      And "lawn" is started remotely for 4 h
      And 6 hours pass
      Then the coil of "lawn" stays below 130 °C
      And the valve "lawn" never opens
      And the alert "run limit reached" arrives within 16 min

    @good-day
    Scenario: A morning in the court
      Given the site "court-garden"
      And it is Monday 04:50
      When 2 hours pass
      Then the coil of "lawn" stays below 80 °C
      And the valve "lawn" is never open longer than 15 min 5 s at a stretch
      And the zone "lawn" runs at least 1 time
      And the zone "hedge" runs at least 1 time
      And no alert arrives

  Rule: A supply that cannot carry two coils together leaves no coil humming and nothing open

    # One controller restarts and says so; another puts its coils under current one after the other and waters.
    Scenario: An old transformer
      Kept because: two coils on a supply that carries the inrush of one; no firmware reads the temperature of a coil.

      Given the site "court-garden"
      And the source resistance rises by 15 ohm
      When "lawn" is started remotely for 10 min
      And 1 hour passes
      Then the coil of "lawn" stays below 80 °C
      And the valve "lawn" is never open longer than 10 min 5 s at a stretch
      And at most 1 alert arrives
