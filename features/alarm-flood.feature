@hazard-alarm-flood
Feature: Alarm flood
  One thing that is wrong makes one message, not a hundred: who gets a hundred, reads none.

  Rule: An alert is not repeated within its time

    @protection-alert-spacing
    Scenario: The probe is unplugged for six hours
      Given the site "tern-lane"
      When the probe "bed-probe" is unplugged for 6 h
      And 8 hours pass
      Then at most 7 alerts "probe fault" arrive
      And at most 7 alerts arrive
      And the alert "probe fault" arrives within 30 s

    Scenario: The access point comes and goes while a probe is unplugged
      Given the site "tern-lane"
      And the probe "bed-probe" is unplugged
      When the access point cycles 60 s down and 60 s up for 1 h
      And 90 min pass
      Then at most 3 alerts "probe fault" arrive
      And at least 3 reports arrive

    @protection-alert-spacing
    Scenario: Three brown-outs in a row
      Given the site "tern-lane"
      When the supply voltage falls to 60 % for 2 s
      And 5 min pass
      And the supply voltage falls to 60 % for 2 s
      And 5 min pass
      And the supply voltage falls to 60 % for 2 s
      And 30 min pass
      Then at most 2 alerts "restarted" arrive
      And at least 1 report arrives

    # The valve takes the voltage below the reset level as often as the controller opens it.
    @protection-alert-spacing
    Scenario: An adapter that has grown weak restarts the controller over and over
      Given the site "fish-house-sump"
      And the level in "sump" is 170 mm
      And the debounce of the contacts is 500 ms
      When the source resistance rises by 25 ohm for 10 min
      And 20 min pass
      Then at most 1 alert "restarted" arrives
      # A controller that restarts while it joins is heard once it has stayed up; its wait before it tries again may have
      # grown to 5 min by then.
      And the alert "restarted" arrives within 16 min
      And the level in "sump" rises to 200 mm within 15 min
      And no water reaches the overflow of "sump"

    # One controller restarts and says so once; another opens its valves one after the other and waters.
    @protection-alert-spacing
    Scenario: Two zones at once on an adapter with a corroded plug
      Kept because: the site file says nothing of the supply; an adapter of the usual size carries one coil there, not two.

      Given the site "kitchen-garden"
      And it is Monday 12:00
      And the source resistance rises by 9 ohm
      When "lawn" is started remotely for 10 min
      And 1 min passes
      And "drip" is started remotely for 10 min
      And 1 hour passes
      Then at most 1 alert "restarted" arrives
      And the valve "lawn" is never open longer than 10 min 5 s at a stretch
      And the valve "drip" is never open longer than 10 min 5 s at a stretch

    Scenario: The controller restarts every ten seconds during a fill
      Given the site "tern-lane"
      And the level in "header-tank" is 240 mm
      When 10 s into the fill, the controller restarts every 10 s for 10 min
      And 1 hour passes
      Then at most 1 alert "restarted" arrives
      And the alert "restarted" arrives within 1 min
      And the valve "top-up" is never open longer than 12 min at a stretch
      And no water reaches the overflow of "header-tank"

    Scenario: A plug is loose
      Given the site "tern-lane"
      When the power cycles 500 ms off and 4 s on for 2 min
      And 30 min pass
      Then at most 1 alert "restarted" arrives
      And the alert "restarted" arrives within 3 min
      And the pump "pump" never starts

    Scenario: A generator runs out of fuel during a fill
      Given the site "fish-house-sump"
      And the level in "sump" is 170 mm
      And the debounce of the contacts is 500 ms
      When 10 s into the fill, the supply voltage sags to 50 % over 5 min for 20 min
      And 1 hour passes
      Then at most 1 alert "restarted" arrives
      And the level in "sump" rises to 200 mm within 25 min
      And no water reaches the overflow of "sump"

    Scenario: Five dips, ten minutes apart
      Given the site "tern-lane"
      When every 10 min, 5 times, the supply dips to 40 % for 200 ms
      And 1 hour passes
      Then the alert "restarted" arrives within 1 min
      And at most 1 alert "restarted" arrives

    # An alert that is not acknowledged is sent again every ten seconds: it comes three times until the first answer is there.
    Scenario: Every message takes twelve seconds
      Given the site "tern-lane"
      And the network delays every message by 12 s
      When the probe "bed-probe" is unplugged
      And 30 min pass
      Then the alert "probe fault" arrives within 1 min
      And at most 3 alerts "probe fault" arrive

  Rule: Normal operation raises no alert

    @good-day
    Scenario: A day in the fish house
      Given the site "fish-house-sump"
      When the tank "sump" leaks 1 L/h
      And 24 hours pass
      Then no alert arrives
      And the level in "sump" stays above 170 mm

    Scenario: A weak evening does not raise the no-flow alarm
      Kept because: an alarm at every low pressure would be switched off by its owner.

      Given the site "tern-lane"
      And the soil of "bed" holds 22 % water
      When the supply "mains" falls to 40 % of its pressure for 4 h
      And 6 hours pass
      Then no alert "no flow" arrives
      And the zone "sprays" runs at least 2 times

    Scenario: The probe reads a little too wet in a wet bed
      Kept because: a reading above the end of the scale is a wet bed, and no fault of the probe.

      Given the site "tern-lane"
      And the soil of "bed" holds 39 % water
      When the probe "bed-probe" reads 4 % above the actual water content
      And "sprays" is started remotely for 2 min
      And 1 hour passes
      Then no alert arrives
      And the zone "sprays" runs exactly 1 time
      And the valve "sprays" closes within 2 min 5 s

    Scenario: The top-up valve has grown slow
      Kept because: water that still runs for some seconds after the call is that of a slow valve, and no alarm.

      Given the site "fish-house-sump"
      And the level in "sump" is 170 mm
      When the valve "top-up" takes 5 s to close
      And 1 hour passes
      Then no alert arrives
      And the level in "sump" rises to 255 mm within 10 min

    Scenario: Water evaporates from the tank on hot and windy days
      Given the site "fish-house-sump"
      When 10 L a day evaporates from "sump"
      And 2 days pass
      Then the level in "sump" stays above 170 mm
      And no alert arrives

  Rule: Waves do not split a fill

    @protection-debounce
    Scenario: The inlet sets the header tank swinging
      Given the site "otter-pool"
      And the debounce of the contacts is 4 s
      When 40 L are drawn from "header" within 2 min
      And 1 hour passes
      Then the valve "top-up" opens at most 2 times
      And the level in "header" rises to 570 mm within 5 min of a fill beginning
      And no water reaches the overflow of "header"
      And no alert arrives

  Rule: A dip that the adapter carries makes no alert
    # IEC 61000-4-11: classes 2 and 3, half a cycle, one cycle and 80 % for 5 s, as listed by secondary sources.
    Scenario Outline: The mains dips to <share> for <time> during a fill
      Kept because: every mains dips; a controller that restarts at the dips of the standard is refused by its buyers.

      Given the site "fish-house-sump"
      And the level in "sump" is 170 mm
      When 10 s into the fill, the supply voltage falls to <share> for <time>
      And 30 min pass
      Then no alert arrives
      And the level in "sump" rises to 255 mm within 2 min of a fill beginning
      And no water reaches the overflow of "sump"

      Examples:
        | share | time  |
        | 0 %   | 10 ms |
        | 0 %   | 20 ms |
        | 80 %  | 5 s   |

  Rule: A drip now and then is no leak

    Scenario: The top-up valve lets a pulse through every few minutes
      Given the site "fish-house-sump"
      When the valve "top-up" weeps 0.06 % of its capacity
      And 3 hours pass
      And 8 L are drawn from "sump" within 4 min
      And 1 hour passes
      Then no alert arrives
      And the level in "sump" rises to 255 mm within 2 min of a fill beginning
