@hazard-water-wasted
Feature: Water wasted
  No more water runs than was asked for, and a run that nobody ends, ends.

  Rule: A remote start ends without the network

    @good-day
    Scenario: Five minutes of sprays, started remotely
      Given the site "tern-lane"
      When "sprays" is started remotely for 5 min
      And 30 min pass
      Then the valve "sprays" closes within 5 min 5 s
      And at most 100 L run through "meter"
      And no alert arrives

    Scenario: The access point dies while the sprays run
      Given the site "tern-lane"
      And "sprays" is started remotely for 10 min
      And 4 min have passed
      When the access point stops answering
      And 30 min pass
      Then the valve "sprays" closes within 6 min 5 s
      And at most 120 L run through "meter"

    @protection-run-limit @mode-asked-for-hours
    Scenario: Somebody asks for four hours of sprays
      Given the site "tern-lane"
      When "sprays" is started remotely for 4 h
      And 5 hours pass
      Then the valve "sprays" is never open longer than 15 min 5 s at a stretch
      And at most 300 L run through "meter"
      And the alert "run limit reached" arrives within 16 min

  Rule: A fill that does not fill the tank ends, and is not tried for ever

    @protection-longest-run
    Scenario: The tank leaks as fast as it is filled
      Given the site "tern-lane"
      And the level in "header-tank" is 240 mm
      When 1 min into the fill, the tank "header-tank" leaks 28 L/min
      And 1 hour passes
      Then the valve "top-up" is never open longer than 25 min 5 s at a stretch
      And the alert "fill too long" arrives within 26 min

    @protection-lock-out
    Scenario: The tank leaks all night
      Given the site "tern-lane"
      And the level in "header-tank" is 240 mm
      And the number of failed fills before the lock-out is 3
      When the tank "header-tank" leaks 40 L/min
      And 8 hours pass
      Then at most 2400 L run through "meter"
      And the alert "fill locked out" arrives within 2 h

  Rule: A leak is noticed

    @protection-flow-alarms
    Scenario: Grit keeps the top-up valve from closing
      Given the site "fish-house-sump"
      And the level in "sump" is 170 mm
      When as the valve "top-up" begins to close, the valve "top-up" sticks 5 % open
      And 2 hours pass
      Then the alert "flow without call" arrives within 10 min
      And no water goes over the rim of "sump"

    @protection-flow-alarms
    Scenario: The top-up valve weeps
      Given the site "fish-house-sump"
      When the valve "top-up" weeps 2 % of its capacity
      And 2 hours pass
      Then the alert "flow without call" arrives within 10 min
      And no water goes over the rim of "sump"

  Rule: Water that runs by its own weight does not run for ever

    Scenario: The drip valve stays open and water runs down through the pump that has stopped
      Kept because: water that runs by its own weight; it says how much is wasted until the level is too low.

      Given the site "tern-lane"
      And it is Monday 05:50
      When as the valve "drip" begins to close, the valve "drip" sticks open
      And 12 hours pass
      Then the level in "header-tank" stays above 235 mm
      And at most 600 L run through "meter"

    @good-day
    Scenario: A day of watering cans
      Given the site "allotment-barrel"
      When 24 hours pass
      Then the level in "barrel" stays above 280 mm
      And no water reaches the overflow of "barrel"
      And at most 320 L run through "meter"
      And no alert arrives

  Rule: A latching valve that opens can also be shut

    @protection-keep-charge
    Scenario: The battery gives out while the rows are watered
      Given the site "allotment"
      When 5 min into the run of "rows", the battery has 15 % of its charge left
      And "rows" is started remotely for 30 min
      And 3 hours pass
      Then the valve "rows" closes within 5 s
      And at most 20 L run through "meter"
      And the alert "low battery" arrives within 30 s

    # The pulse that should shut it at the boot opens it.
    Scenario: The leads of the latching valve are swapped
      Given the site "allotment"
      And the leads of "rows" are swapped
      When 2 hours pass
      Then the alert "flow without call" arrives within 10 min of the valve "rows" opening

    Scenario: The plunger of the latching valve jams open
      Given the site "allotment"
      When 5 min into the run of "rows", the plunger of "rows" jams
      And "rows" is started remotely for 10 min
      And 3 hours pass
      Then the alert "flow without call" arrives within 30 min

    Scenario: The battery drops out while the rows are watered
      Kept because: a valve that is held by a battery must shut without it.

      Given the site "allotment"
      When 5 min into the run of "rows", the power goes off
      And 1 hour passes
      Then the valve "rows" closes within 2 s
      And at most 20 L run through "meter"

  Rule: A lock-out lasts until somebody starts the zone

    Scenario: Somebody starts the sprays after filling was given up
      Kept because: a start of one zone is not a start of the fill that is locked out.

      Given the site "tern-lane"
      And the level in "header-tank" is 240 mm
      And the number of failed fills before the lock-out is 3
      And the tank "header-tank" leaks 40 L/min
      When 30 min after the alert "fill locked out" arrives, "sprays" is started remotely for 5 min
      And 4 hours pass
      Then the valve "top-up" opens at most 3 times
      And the valve "sprays" closes within 5 min 5 s

  Rule: A probe is read while the water runs

    Scenario: The lead of the probe is pinched while the sprays run
      Given the site "tern-lane"
      And the soil of "bed" holds 20 % water
      When 1 min into the run of "sprays", the lead of "bed-probe" touches its supply
      And 2 hours pass
      Then the valve "sprays" closes within 10 s
      And the zone "sprays" runs at most 1 time
      And the alert "probe fault" arrives within 30 s

  Rule: A bed takes up what it is given

    @good-day
    Scenario: A dry bed is brought back in cycles
      Given the site "tern-lane"
      And the soil of "bed" holds 20 % water
      When 8 hours pass
      Then at most 5 L drain from "bed"
      And the zone "sprays" runs at least 3 times

  Rule: A pipe that lets go does not run for ever

    @protection-cycle-limit
    Scenario: The hose to the sprays comes off
      Given the site "tern-lane"
      And the soil of "bed" holds 20 % water
      When as the valve "sprays" opens, the pipe "spray line" comes off
      And 5 hours pass
      Then the zone "sprays" runs at most 8 times
      And the alert "still dry" arrives within 3 h
      And at most 1500 L leak out of "spray line"

    @protection-longest-run
    Scenario: The main bursts during a fill
      Kept because: it says how much water is wasted until the longest run ends a fill that feeds the burst.

      Given the site "tern-lane"
      And the level in "header-tank" is 240 mm
      When 1 min into the fill, the pipe "main" bursts
      And 8 hours pass
      Then the valve "top-up" is never open longer than 25 min 5 s at a stretch
      And at most 600 L leak out of "main"

    @protection-flow-alarms
    Scenario: The main bursts at night
      Given the site "kitchen-garden"
      When the pipe "main" bursts
      And 2 hours pass
      Then the alert "flow without call" arrives within 10 min

    @protection-flow-alarms
    Scenario: A pinhole opens in the main
      Given the site "kitchen-garden"
      When a hole of 2 mm opens in the pipe "main"
      And 2 hours pass
      Then the alert "flow without call" arrives within 10 min
      And at most 600 L leak out of "main"

    Scenario: A rake tears an emitter off
      Given the site "kitchen-garden"
      And it is Monday 04:55
      When an emitter of "drip lines" is torn off
      And 27 hours pass
      Then the zone "drip" runs at least 1 time
      And at most 200 L leak out of "drip lines"

    Scenario: The end of a drip line comes off on the roof
      Given the site "rooftop-planters"
      And it is Monday 06:00
      When the end of a line of "drip lines" comes off
      And 24 hours pass
      Then the level in "cistern" stays above 100 mm
      And at most 800 L leak out of "drip lines"
      And the zone "pump" runs at least 2 times

  Rule: Water reaches a deep probe late, and the bed is not drowned meanwhile

    @good-day
    Scenario: A dry border with a deep probe
      Given the site "walled-border"
      When 12 hours pass
      Then at most 30 L drain from "border"
      And the soil of "border" reaches 14 % water within 12 h of the valve "border-valve" opening
      And the zone "border-valve" runs at least 4 times
      And no alert arrives

    Scenario: It rains on a border that is being watered
      Kept because: rain is a stimulus of its own; a cycle too many would drown the border.

      Given the site "walled-border"
      When as the valve "border-valve" begins to open, 20 mm of rain fall on "border" within 4 h
      And 24 hours pass
      Then at most 150 L drain from "border"
      And the zone "border-valve" runs at least 1 time
      And the zone "border-valve" runs at most 4 times

    @protection-cycle-limit
    Scenario: The nozzle beside the probe clogs
      Given the site "walled-border"
      When the nozzle beside "deep-probe" clogs to 5 %
      And 36 hours pass
      Then the alert "still dry" arrives within 20 h
      And the zone "border-valve" runs at most 8 times
      And at most 250 L drain from "border"

  Rule: A probe that reads too dry does not water for ever

    @protection-cycle-limit
    Scenario: Half of the probe stands in air
      Given the site "tern-lane"
      When 50 % of the probe "bed-probe" stands in air
      And 5 hours pass
      Then the zone "sprays" runs at most 8 times
      And the alert "still dry" arrives within 3 h

    Scenario: The plug of a loop corrodes until its transmitter starves
      Given the site "fern-house"
      When the plug of "bench-probe" corrodes to 300 ohm
      And 5 hours pass
      Then the zone "mist" runs at most 8 times
      And the alert "still dry" arrives within 4 h

    @protection-cycle-limit
    Scenario: The probe locks up while the bed is dry
      Given the site "tern-lane"
      And the soil of "bed" holds 20 % water
      When the probe "bed-probe" is stuck
      And 5 hours pass
      Then the zone "sprays" runs at most 8 times
      And the alert "still dry" arrives within 3 h

    Scenario: A noisy probe waters no more than a quiet one
      Given the site "tern-lane"
      And the soil of "bed" holds 22 % water
      When the probe "bed-probe" is noisy by 20 mV
      And 6 hours pass
      Then the soil of "bed" reaches 26 % water within 2 h
      And the soil of "bed" stays below 33 % water
      And no alert arrives

    Scenario: Spikes on the probe water no more than they must
      Kept because: with small spikes the bed must get its water as well as no more.

      Given the site "tern-lane"
      And the soil of "bed" holds 22 % water
      When spikes of 100 mV occur on the probe "bed-probe" in 1 % of the seconds
      And 6 hours pass
      Then the soil of "bed" reaches 26 % water within 2 h
      And the soil of "bed" stays below 33 % water
      And the valve "sprays" is never open longer than 6 min 5 s at a stretch

    Scenario: Large spikes on the probe end no soak
      Given the site "tern-lane"
      And the soil of "bed" holds 22 % water
      When spikes of 400 mV occur on the probe "bed-probe" in 5 % of the seconds
      And 6 hours pass
      Then the zone "sprays" runs at least 2 times
      And the zone "sprays" runs at most 18 times
      And the valve "sprays" is never open longer than 6 min 5 s at a stretch
      And the soil of "bed" stays below 33 % water

    Scenario: A slow probe does not drown the bed
      Given the site "tern-lane"
      And the soil of "bed" holds 22 % water
      When the probe "bed-probe" lags its soil with a time constant of 20 min
      And 8 hours pass
      Then the soil of "bed" reaches 26 % water within 3 h
      And at most 40 L drain from "bed"

  Rule: A restart lifts no limit

    Scenario: The controller restarts after it has given up filling
      Given the site "tern-lane"
      And the level in "header-tank" is 240 mm
      And the number of failed fills before the lock-out is 3
      And the tank "header-tank" leaks 40 L/min
      When 30 min after the alert "fill locked out" arrives, the controller restarts
      And 6 hours pass
      Then at most 2400 L run through "meter"
      And the valve "top-up" opens at most 3 times

    Scenario: The controller restarts between two failed fills
      Given the site "tern-lane"
      And the level in "header-tank" is 240 mm
      And the number of failed fills before the lock-out is 3
      And the tank "header-tank" leaks 40 L/min
      When 5 min after the alert "fill too long" arrives, the controller restarts
      And 8 hours pass
      Then the valve "top-up" opens at most 3 times

    Scenario: The controller restarts after it has given up watering
      Given the site "tern-lane"
      And the soil of "bed" holds 20 % water
      And the supply "mains" falls to 8 % of its pressure
      When 1 h after the alert "still dry" arrives, the controller restarts
      And 4 hours pass
      Then the zone "sprays" runs at most 6 times

    Scenario: The controller restarts between two cycles
      Given the site "tern-lane"
      And the soil of "bed" holds 20 % water
      And the supply "mains" falls to 8 % of its pressure
      When 10 min after the valve "sprays" closes, the controller restarts
      And 5 hours pass
      Then the zone "sprays" runs at most 6 times

  Rule: A limit holds when a counter wraps
    # 24.9 days and 49.7 days after its start.
    Scenario Outline: The counter of milliseconds passes 2^<bits> during a fill that does not fill the tank
      Given the site "tern-lane"
      And the level in "header-tank" is 240 mm
      And the millisecond counter reaches 2^<bits> in 10 min
      When the tank "header-tank" leaks 28 L/min
      And 35 min pass
      Then the valve "top-up" is never open longer than 25 min 5 s at a stretch
      And the alert "fill too long" arrives within 26 min

      Examples:
        | bits |
        | 31   |
        | 32   |

    Scenario: The oscillator runs 3 % slow
      Given the site "tern-lane"
      And the level in "header-tank" is 240 mm
      And the oscillator runs 3 % slow
      When the tank "header-tank" leaks 28 L/min
      And 35 min pass
      Then the valve "top-up" is never open longer than 25 min 55 s at a stretch
      And the alert "fill too long" arrives within 26 min

  Rule: Settings in memory are checked before they are used

    Scenario: The controller restarts while it writes its settings
      Given the site "tern-lane"
      And the level in "header-tank" is 240 mm
      And the tank "header-tank" leaks 28 L/min
      When 5 min into the fill, the controller restarts while it writes its settings
      And 2 hours pass
      Then the valve "top-up" is never open longer than 25 min 5 s at a stretch
      And the alert "restarted" arrives within 1 min

    Scenario: Somebody makes the longest run shorter during a fill
      Given the site "tern-lane"
      And the level in "header-tank" is 240 mm
      And the tank "header-tank" leaks 28 L/min
      When 10 min into the fill, somebody sets the longest run of a fill to 12 min
      And 2 hours pass
      Then the valve "top-up" is never open longer than 12 min 5 s at a stretch
      And the alert "fill too long" arrives within 3 min

  Rule: An hour that comes twice is watered once

    Scenario: Summer time ends while the drip lines run
      Given the site "tern-lane"
      And it is Sunday 17:55
      When 15 min after the pump "pump" starts, summer time ends
      And 4 hours pass
      Then the valve "drip" is open for at most 21 min in all

    Scenario: The clock is put back after the morning run
      Given the site "tern-lane"
      And it is Monday 05:55
      When 25 min after the pump "pump" starts, the clock jumps back by 30 min
      And 4 hours pass
      Then the valve "drip" is open for at most 21 min in all

    Scenario: The clock is put back before the morning run
      Kept because: a clock that is put right must be followed, and then the run comes when it shows the time of the start.

      Given the site "tern-lane"
      And it is Monday 05:50
      When the clock jumps back by 30 min
      And 45 min pass
      Then the valve "drip" opens within 41 min
      And the valve "drip" is open for at most 6 min in all

  Rule: A remote stop ends a remote start

    Scenario: Somebody stops the sprays after two minutes
      Given the site "tern-lane"
      When "sprays" is started remotely for 12 min
      And 2 min pass
      And "sprays" is stopped remotely
      And 1 hour passes
      Then the valve "sprays" closes within 5 s
      And the valve "sprays" is open for at most 2 min 5 s in all

  Rule: An undelivered stop leaves the run limit in force

    Scenario: The stop of a remote start is undelivered
      Given the site "tern-lane"
      And remote stops are not delivered
      When "sprays" is started remotely for 12 min, and stopped after 2 min
      And 1 hour passes
      Then the valve "sprays" opens within 10 s
      And the valve "sprays" is never open longer than 12 min 5 s at a stretch

    Scenario: Every message arrives twice
      Given the site "tern-lane"
      And 100 % of the messages arrive twice
      When "sprays" is started remotely for 5 min
      And 1 hour passes
      Then the valve "sprays" opens within 10 s
      And the valve "sprays" is open for at most 5 min 5 s in all

  Rule: The controller enforces its own run limit

    @mode-asked-for-hours
    Scenario: Somebody asks for sprays again and again
      Given the site "tern-lane"
      When "sprays" is started remotely for 1 h
      And 10 min into the run of "sprays", "sprays" is started remotely for 1 h
      And 1 hour passes
      Then the valve "sprays" is never open longer than 15 min 5 s at a stretch

    Scenario: The controller restarts during a remote run
      Given the site "tern-lane"
      When "sprays" is started remotely for 10 min
      And 3 min into the run of "sprays", the controller restarts
      And 1 hour passes
      Then the valve "sprays" is open for at most 10 min in all

  Rule: A missed start is not made up for

    Scenario: The power is away when the drip lines should start
      Given the site "tern-lane"
      And it is Monday 05:50
      When the power goes off for 30 min
      And 2 hours pass
      Then the pump "pump" never starts
      And the alert "restarted" arrives within 1 min of the power returning

  Rule: A second start does not add up with the first

    @mode-started-twice
    Scenario: Somebody presses start again after two minutes
      Given the site "tern-lane"
      When "sprays" is started remotely for 5 min
      And 2 min pass
      And "sprays" is started remotely for 5 min
      And 30 min pass
      Then the valve "sprays" is never open longer than 7 min 5 s at a stretch

  Rule: A programme that was broken off is not begun anew

    Scenario: The power fails near the end of the drip programme
      Given the site "kitchen-garden"
      And it is Monday 04:55
      When 15 min into the run of "drip", the power goes off for 1 min
      And 1 hour passes
      Then the valve "drip" is open for at most 20 min in all

  Rule: A reading that is valid only now and then is rejected

    Scenario: The lead of the unplugged probe picks up hum
      Given the site "tern-lane"
      And mains hum of 3 µA couples into the lead of "bed-probe"
      When the probe "bed-probe" is unplugged
      And 1 hour passes
      Then the alert "probe fault" arrives within 30 s
      And the valve "sprays" is open for at most 1 s in all
