@hazard-backflow
Feature: Backflow
  What has left the pipes does not come back into them, nor into the water that people drink.

  Rule: A preventer or an air gap holds the water during back-siphonage

    @protection-flow-alarms
    Scenario: A main bursts downhill while the barrel is filled
      Kept because: drinking water; it shows that the preventer holds, which no firmware can do.

      Given the site "allotment-barrel"
      And the level in "barrel" is 290 mm
      When 10 s into the fill, the supply "mains" falls 0.3 bar below atmospheric for 15 min
      And 2 hours pass
      Then no water flows back into the supply "mains"
      And at most 0.01 L is back-siphoned out of "barrel"
      And the valve "fill" closes within 65 s
      And the level in "barrel" rises to 680 mm within 30 min

    Scenario: A main bursts downhill while the header tank is filled
      Kept because: drinking water; it shows what the air gap of this tank is worth during back-siphonage.

      Given the site "tern-lane"
      And the level in "header-tank" is 240 mm
      When 10 s into the fill, the supply "mains" falls 0.5 bar below atmospheric for 10 min
      And 1 hour passes
      Then no water flows back into the supply "mains"
      And the level in "header-tank" rises to 700 mm within 30 min

    @protection-flow-alarms @mode-air-gap
    Scenario: Nothing but its air gap keeps the water of the sump out of the mains
      Kept because: drinking water; a small sump without a preventer, where only the gap is left. The 3.8 L that the
      feed holds go back, and then air; the meter counts them as a fill, so that the alert waits for the next attempt.

      Given the site "fish-house-sump"
      And the level in "sump" is 170 mm
      And the pause after a failed fill is 5 min
      When 10 s into the fill, the supply "mains" falls 0.5 bar below atmospheric for 10 min
      And 1 hour passes
      Then at most 4 L flow back into the supply "mains"
      And the alert "no flow" arrives within 10 min
      And the level in "sump" rises to 250 mm within 20 min

  Rule: Without a barrier, the end of the run limits the backflow

    @protection-longest-run
    Scenario: Dirt keeps the preventer open, and the meter counts backwards too
      Kept because: drinking water; two failures together, and the litres that the end of a run still limits.

      Given the site "allotment-barrel"
      And the level in "barrel" is 290 mm
      And the backflow preventer "preventer" sticks 5 % open
      When 1 min into the fill, the supply "mains" falls 0.3 bar below atmospheric for 30 min
      And 2 hours pass
      Then at most 35 L flow back into the supply "mains" as water of category 4
      And the valve "fill" closes within 14 min 5 s

    @protection-longest-run
    Scenario: The mains is drained for repairs while the preventer is stuck open
      Kept because: drinking water; a drained main is the commoner way to lose its pressure, and it lasts longer.

      Given the site "allotment-barrel"
      And the level in "barrel" is 290 mm
      And the backflow preventer "preventer" sticks open
      When 3 min into the fill, the supply "mains" is shut off for 1 h
      And 2 hours pass
      Then at most 40 L flow back into the supply "mains"
      And the valve "fill" closes within 12 min 5 s

  Rule: A stopped pump lets nothing run back

    @good-day
    Scenario: The tank on the terrace is filled and stays full
      Given the site "hillside-terrace"
      And the level in "terrace-tank" is 440 mm
      When 4 hours pass
      Then the level in "terrace-tank" rises to 790 mm within 40 min of a fill beginning
      And at most 0.1 L is back-siphoned out of "terrace-tank"
      And no alert arrives

    @protection-flow-alarms
    Scenario: The tank on the terrace runs back through the pump that has stopped
      Given the site "hillside-terrace"
      And the level in "terrace-tank" is 440 mm
      When as the pump "lift" stops, the non-return valve "check" sticks open
      And 6 hours pass
      Then the alert "flow without call" arrives within 10 min
      And the level in "terrace-tank" stays above 430 mm
      And no water goes over the rim of "sump"
