"""Every quantity once: name, symbol, unit inside the service, meaning. Read this first.

Names end in their unit. A ratio has the unit "1" and no suffix. Formulas are declared with these names
(`from ohmstead.nomenclature import formula`), so a symbol that a reader sees is defined here and nowhere else.
"""

from __future__ import annotations

from .working import Term, declare

TERMS: dict[str, Term] = {}


def _terms(block: str) -> None:
    for line in block.strip().splitlines():
        name, symbol, unit, meaning = (part.strip() for part in line.split("|"))
        if name in TERMS:
            raise ValueError(f"{name} is declared twice")
        TERMS[name] = Term(name, symbol, unit, meaning)


_terms("""
value                 | x      | 1    | entry of a list of unlike values; each row names its own term
""")

# Circuits: conductors, protection, faults
_terms("""
power_w               | P      | W    | power drawn by a load
efficiency            | η      | 1    | output over input
lowest_voltage_v      | Vmin   | V    | lowest voltage at which the load still runs at full power
nominal_voltage_v     | Vn     | V    | nominal voltage of the circuit
highest_voltage_ratio | kmax   | 1    | highest charging over nominal voltage
highest_voltage_v     | Vmax   | V    | highest voltage of the circuit, charging included
voltage_v             | V      | V    | voltage
power_factor          | pf     | 1    | real over apparent power
current_a             | I      | A    | design current, average
noncontinuous_current_a | Inc  | A    | part of the design current that lasts less than three hours
continuous_factor     | kc     | 1    | factor on continuous current
ripple_factor         | kr     | 1    | RMS over average current of a single-phase inverter's input
ripple_current_a      | Irms   | A    | RMS current, ripple included
continuous_current_a  | Ic     | A    | current multiplied for continuous duty
thermal_current_a     | Ith    | A    | larger of the continuous-duty and the RMS current
sets                  | n      | 1    | conductors in parallel per pole
column_needed_a       | I′T    | A    | table value needed at the terminals' temperature
derated_needed_a      | I′B    | A    | table value needed at the insulation's temperature
ampacity_terminal_a   | IT     | A    | table ampacity at the terminals' temperature, one conductor
ampacity_insulation_a | IB     | A    | table ampacity at the insulation's temperature, one conductor
table_ampacity_a      | It     | A    | ampacity as printed in the table, one conductor
ambient_factor        | fa     | 1    | correction for ambient temperature
bundling_factor       | fb     | 1    | adjustment for loaded conductors together
ampacity_conditions_a | I′z    | A    | ampacity under the conditions of use, all sets
ampacity_terminals_a  | I″z    | A    | ampacity at the terminals, all sets
ampacity_a            | Iz     | A    | ampacity of the circuit's conductors
run_m                 | L      | m    | one-way length of the run
resistance_75c_ohm_per_km | R75 | ohm/km | conductor resistance at 75 °C
resistance_20c_ohm_per_km | R20 | ohm/km | conductor resistance at 20 °C
conductor_temperature_c | Tc   | degC | conductor temperature at the design current
insulation_temperature_c | Ti  | degC | temperature rating of the insulation
terminal_temperature_c | Tt    | degC | temperature rating of the terminal
ambient_c             | Ta     | degC | ambient temperature
resistance_ohm_per_km | Rc     | ohm/km | conductor resistance at conductor temperature
loop_resistance_ohm   | R      | ohm  | resistance out and back, all sets
return_resistance_ohm | Rret   | ohm  | resistance of a chassis that carries the current back
return_limit_a        | Iret   | A    | largest current that may return by a chassis
drop_current_a        | IΔU    | A    | current that drops a voltage in a conductor out and one like it back
drop_v                | ΔU     | V    | voltage drop at the design current
drop_fraction         | u      | 1    | voltage drop over nominal voltage
drop_limit            | umax   | 1    | allowed voltage drop over nominal voltage
drop_limit_total      | utot   | 1    | allowed voltage drop of feeder and branch together over nominal voltage
feeder_drop_share     | kF     | 1    | share of the drop of feeder and branch together that the feeders may take
feeder_run_m          | LF     | m    | one-way length of the feeders that are still ahead, this one among them
drop_limit_v          | ΔUmax  | V    | allowed voltage drop
resistance_needed_ohm_per_km | R′ | ohm/km | largest resistance per length that keeps the drop allowed
load_voltage_v        | Vload  | V    | voltage at the load on the lowest source voltage
copper_temperature_coefficient | α | 1/K | relative rise of copper's resistance per kelvin at 75 °C
drop_constant_ohm_cmil_per_ft | K | ohm.cmil/ft | conventional resistivity for voltage drop
copper_resistivity_ohm_mm2_per_m | ρ20 | ohm.mm2/m | resistivity of annealed copper at 20 °C
drop_constant_ohm_mm2_per_m | ρ′ | ohm.mm2/m | conventional resistivity for voltage drop, metric
standard_rating_a     | Istd   | A    | next standard rating above the ampacity
device_excess         | kd     | 1    | most that a device may exceed the ampacity, as a ratio
area_cmil             | CM     | cmil | conductor area in circular mils
area_mm2              | S      | mm2  | conductor area
gauge_number          | g      | 1    | AWG number, 1/0 as 0, 2/0 as −1
diameter_mm           | d      | mm   | conductor diameter
run_ft                | L′     | ft   | conductor length out and back
loaded_conductors     | nb     | 1    | loaded conductors together
device_rating_a       | In     | A    | rating of the overcurrent device
device_needed_a       | I′n    | A    | smallest permitted rating of the overcurrent device
device_limit_a        | I″n    | A    | largest permitted rating of the overcurrent device
device_voltage_v      | Vd     | V    | voltage rating of the device for the kind of current that it interrupts
interrupting_rating_a | Icn    | A    | interrupting rating of the device at its voltage rating
preference_rank       | r      | 1    | order in which the device families of a use are preferred, lowest first
fault_current_a       | Isc    | A    | prospective short-circuit current
capacity_ah           | C      | Ah   | rated capacity
short_circuit_per_ah  | kf     | A/Ah | upper-bound short-circuit current per ampere-hour
full_cell_voltage_v   | Uc     | V    | open-circuit voltage of a full cell
cell_resistance_capacity_ohm_ah | ρc | ohm.Ah | lower bound of resistance times capacity of a cell
joint_resistance_ohm  | Rj     | ohm  | resistance of one bolted joint
strings               | np     | 1    | parallel strings
source_resistance_ohm | Rs     | ohm  | internal resistance of the source
earth_area_cmil       | CMe    | cmil | area of the equipment grounding conductor
circuit_area_cmil     | CMc    | cmil | area of the installed circuit conductors
minimum_area_cmil     | CMmin  | cmil | area of the smallest circuit conductors that ampacity allows
short_circuit_constant | k     | A.s^0.5/mm2 | short-circuit withstand of insulated copper per area and square root of time
transient_current_a   | Ist    | A    | current of a start or an inrush
transient_s           | tst    | s    | how long a start or an inrush lasts
rating_multiple       | m      | 1    | current over the rating of a device
opening_least_s       | tmin   | s    | time before which a device does not open at a multiple of its rating
opening_most_s        | tmax   | s    | time after which a device has opened at a multiple of its rating
device_ambient_c      | Td     | degC | temperature of the air around a device
device_ambient_factor | kT     | 1    | what a device carries at a temperature over its rating
derated_rating_a      | In,T   | A    | current that a device carries in the hottest place
raised_rating_a       | In,0   | A    | rating of a device as the cold raises it
residual_current_a    | IΔn    | A    | residual current at which a device opens at the latest
poles                 | p      | 1    | poles that a device opens together
generator_conductor_factor | kg  | 1    | factor on the rated current of a generator for its conductors
""")

# Loads
_terms("""
load_power_w          | P      | W    | running power of one appliance
load_count            | N      | 1    | number of like appliances
hours_per_day         | h      | h    | hours in use a day
duty                  | d      | 1    | share of the hours in use that the appliance draws power
standby_w             | P0     | W    | power drawn when plugged in but not in use
standby_hours         | h0     | h    | hours on standby a day
load_energy_wh        | E      | Wh   | energy a day at the appliance
bank_energy_wh        | Eb     | Wh   | energy a day at the bank
wiring_efficiency     | ηw     | 1    | efficiency of the wiring
inverter_efficiency   | ηi     | 1    | efficiency of the inverter without its idle draw
converter_efficiency  | ηc     | 1    | efficiency of a direct-current converter
idle_w                | Pi     | W    | idle draw of the inverter
idle_hours            | hi     | h    | hours a day that the inverter is on
idle_energy_wh        | Ei     | Wh   | energy a day that the idle inverter takes
day_energy_wh         | Ed     | Wh   | energy a day at the bank, all loads
energy_share          | s      | 1    | share of the day's energy
running_power_w       | Pr     | W    | power of the loads that run together
apparent_power_va     | S      | VA   | apparent power
running_va            | Sr     | VA   | apparent power of the loads that run together
start_multiple        | ks     | 1    | starting over running apparent power
start_va              | Ss     | VA   | apparent power at the start
start_increment_va    | ΔS     | VA   | starting minus running apparent power
surge_va              | Speak  | VA   | apparent power with the largest start while the others run
locked_rotor_a        | Ilr    | A    | locked-rotor current
horsepower_hp         | hp     | hp   | rated motor power
locked_rotor_kva_per_hp | kVA/hp | kVA/hp | locked-rotor apparent power per horsepower, by code letter
soft_start_factor     | kss    | 1    | share of the starting current left by a soft starter
growth_factor         | kg     | 1    | allowance for growth
hours_needed          | hn     | h    | hours a day in which the inverter is needed at most
standby_bank_energy_wh | E0b   | Wh   | energy a day at the bank that standby takes
always_live_a         | I0     | A    | average current of what is fed ahead of the load disconnect
converter_margin      | kc     | 1    | rating of a converter over the load that runs on it
converter_needed_a    | Ic     | A    | rated output that a converter needs
converter_start_a     | Icp    | A    | output at the largest start while the others run
converter_output_a    | Icr    | A    | rated output of a converter
converter_peak_ratio  | kcp    | 1    | peak over rated output of a converter
converter_peak_a      | Icpk   | A    | peak output of a converter
converter_idle_w      | P0c    | W    | idle draw of a converter
converter_idle_energy_wh | E0c | Wh   | energy a day that idle converters take
output_running_w      | Po     | W    | power of the loads behind a converter that run together
output_surge_w        | Pop    | W    | the same with the largest start while the others run
output_energy_wh      | Eo     | Wh   | energy a day of the loads behind a converter
feed_needed_a         | If     | A    | charging current that keeps a buffer battery full over the day
cooking_power_w       | Pf     | W    | power that a microwave oven puts into the food
cooking_efficiency    | ηf     | 1    | power into the food over power drawn
alike_power_w         | PN     | W    | running power of all like appliances
dc_bus_increment_w    | ΔPdc   | W    | what a start adds at the direct-current bus
dc_bus_power_w        | Pdc    | W    | running power at the direct-current bus
dc_running_w          | Pdc,r  | W    | direct-current power of the loads that run together
dc_surge_w            | Pdc,pk | W    | direct-current power with the largest start while the others run
bank_running_w        | Pb     | W    | power that the bank gives when everything that runs together does
saved_energy_wh       | −ΔEb   | Wh   | energy a day that a change would save at the bank
saved_share           | ks     | 1    | share of a load that a change would save
day_charge_ah         | Qd     | Ah   | charge a day at the bank
voltage_ratio         | rV     | 1    | voltage of an appliance over that of the system
""")

# Storage
_terms("""
autonomy_days         | N      | d    | days without charging
depth_of_discharge    | DoD    | 1    | usable share of the rated capacity
temperature_factor    | fT     | 1    | capacity at temperature over rated capacity
ageing_factor         | fA     | 1    | capacity at the end of life over rated capacity
discharge_efficiency  | ηd     | 1    | energy delivered over energy taken out of the cells
energy_needed_wh      | Cneed  | Wh   | rated energy that the bank needs
energy_for_depth_wh   | CDoD   | Wh   | rated energy for the depth of discharge
energy_for_ageing_wh  | CEOL   | Wh   | rated energy for the end of life
energy_product_wh     | Cprod  | Wh   | rated energy with depth of discharge and ageing multiplied
capacity_needed_ah    | C′     | Ah   | rated capacity that the bank needs
unit_voltage_v        | Vu     | V    | nominal voltage of one unit
unit_capacity_ah      | Cu     | Ah   | rated capacity of one unit
unit_energy_wh        | Eu     | Wh   | rated energy of one unit
unit_mass_kg          | mu     | kg   | mass of one unit
series                | ns     | 1    | units in series
parallel              | np     | 1    | strings in parallel
units                 | nu     | 1    | units in the bank
bank_capacity_ah      | Cb     | Ah   | rated capacity of the bank
bank_rated_energy_wh  | Er     | Wh   | rated energy of the bank
bank_voltage_v        | Vb     | V    | nominal voltage of the bank
usable_energy_wh      | Eu     | Wh   | energy that the new bank delivers
usable_energy_aged_wh | E′u    | Wh   | energy that the bank delivers at the end of life
bank_mass_kg          | mb     | kg   | mass of the bank
peukert_exponent      | k      | 1    | Peukert exponent
rated_hours           | H      | h    | hour rate of the rated capacity
discharge_hours       | t      | h    | hours of discharge
peukert_capacity_ah   | CP     | Ah   | rated capacity that a discharge rate needs
available_capacity_ah | Ca     | Ah   | capacity available at a discharge rate
run_hours             | tr     | h    | run time
unit_current_a        | Iu     | A    | continuous discharge current of one unit
unit_peak_current_a   | Ip     | A    | peak discharge current of one unit
unit_charge_limit_a   | Icu    | A    | largest charging current of one unit
sharing_factor        | fs     | 1    | share of the summed unit currents that may be counted on
discharge_current_a   | Id     | A    | continuous discharge current asked of the bank
bank_current_a        | Ibank  | A    | continuous discharge current that the bank may give
bank_current_short_a  | Ib−1   | A    | continuous discharge current with one string gone
bank_peak_current_a   | Ibp    | A    | peak current that the bank may give
peak_current_a        | Ipk    | A    | peak current asked of the bank
charge_rate           | kch    | 1/h  | charging current over capacity
charge_rate_max       | kch,max | 1/h | largest charging current over capacity
discharge_rate        | kd     | 1/h  | recommended continuous discharge current over capacity
discharge_rate_max    | kd,max | 1/h  | largest continuous discharge current over capacity
tail_rate             | kt     | 1/h  | charging current at which charging ends over capacity
charge_current_a      | Ich    | A    | charging current
charge_limit_a        | Imax   | A    | largest charging current of the bank
cells                 | nc     | 1    | cells in series
cell_voltage_v        | Vc     | V    | nominal voltage of a cell
absorption_cell_v     | Vabs/c | V    | absorption voltage of a cell
absorption_v          | Vabs   | V    | absorption voltage of the bank
float_cell_v          | Vfl/c  | V    | float voltage of a cell
float_v               | Vfl    | V    | float voltage of the bank
end_cell_v            | Vend/c | V    | voltage of a discharged cell
highest_cell_v        | Vmax/c | V    | highest voltage of a cell while charging
equalise_cell_v       | Veq/c  | V    | equalising voltage of a cell
load_disconnect_cell_v | Vld/c | V    | voltage of a cell at which loads are disconnected
end_v                 | Vend   | V    | voltage of the discharged bank
bank_temperature_c    | Tb     | degC | lowest temperature of the bank in use
charge_temperature_c  | Tch    | degC | lowest temperature at which the chemistry may be charged
temperature_limit_c   | Tlim   | degC | temperature limit of a battery
temperature_compensation_v_per_k | kT | V/K | change of charging voltage per kelvin and cell
specific_energy_wh_per_kg | es | Wh/kg | energy per mass
cycle_life            | Ncyc   | 1    | cycles to the end of life
life_years            | tl     | a    | years to the end of life
round_trip_efficiency | ηrt    | 1    | energy out over energy in
return_factor         | RF     | 1    | charge put back over charge taken out
average_current_a     | Iavg   | A    | steady discharge current
load_disconnect_v     | Vld    | V    | voltage of the bank at which loads are disconnected
usable_share          | su     | 1    | share of the rated energy that may be counted on
colder_c              | T1     | degC | next lower temperature of a table
warmer_c              | T2     | degC | next higher temperature of a table
colder_factor         | f1     | 1    | capacity factor at the next lower temperature of a table
warmer_factor         | f2     | 1    | capacity factor at the next higher temperature of a table
equalise_v            | Veq    | V    | equalising voltage of the bank
cold_absorption_v     | Vabs,c | V    | absorption voltage of the bank at its coldest, compensated
reference_temperature_c | T0   | degC | temperature at which charging voltages are stated
charge_floor_a        | Imin   | A    | least charging current that finishes a charge
payload_kg            | mmax   | kg   | mass that the vehicle leaves for the bank
age_years             | a      | a    | age of a battery unit
health                | h      | 1    | tested over rated capacity
coulombic_efficiency  | ηC     | 1    | charge out over charge in
absorption_hours      | tabs   | h    | time on absorption voltage
capacity_multiplier   | kT     | 1    | rated capacity over capacity at temperature
parallel_limit        | np,max | 1    | largest number of strings in parallel
equipment_highest_v   | Ve,max | V    | highest voltage that the equipment on the bank stands
unit_highest_v        | Vu,max | V    | highest voltage of one unit while charging
unit_lowest_v         | Vu,min | V    | lowest voltage of one unit that counts as not empty
units_within          | n′s    | 1    | units in series at a limit of the equipment, not yet whole
bank_peak_short_a     | Ibp−1  | A    | peak current that the bank may give with one string gone
current_margin        | mI     | 1    | current that the bank may give over the current asked
day_depth             | DoDd   | 1    | share of the rated energy that a day takes
calendar_years        | tcal   | a    | years after which a unit is worn out whatever it did
delivered_kwh         | EL     | kWh  | energy that the bank delivers in its life
unit_price            | pu     | 1    | price of one unit, in any currency
fitting_price         | p0     | 1    | price of fitting, in the same currency
purchase_price        | p      | 1    | price of the bank, in the same currency
price_per_kwh         | pE     | 1/kWh | price of a kilowatt-hour
year_energy_kwh       | Ea     | kWh  | energy of a year
year_price            | pa     | 1    | price of a year's energy
safe_depth            | DoDf   | 1    | deepest discharge at which the electrolyte stays liquid
freezes_c             | Tf     | degC | temperature at which the electrolyte freezes
specific_gravity      | ρe     | 1    | specific gravity of the electrolyte
gassing_a_per_ah      | igas   | A/Ah | current that makes gas, over capacity
gas_current_a         | Igas   | A    | current that makes gas
hydrogen_m3_per_ah    | q      | m3/Ah | hydrogen of a cell for each ampere-hour of overcharge
hydrogen_limit        | cH     | 1    | share of hydrogen in air that can explode
hydrogen_m3_per_h     | qH     | m3/h | hydrogen that the bank gives in an hour
hydrogen_hours        | tH     | h    | hours until a closed space holds the limit
compartment_m3        | VK     | m3   | volume of the compartment
air_safety            | s      | 1    | safety factor of ventilation
air_m3_per_ah         | qa     | m3/Ah | air of a cell for each ampere-hour of overcharge
airflow_m3_per_h      | Q      | m3/h | air that carries the hydrogen away
opening_cm2           | A      | cm2  | free area of an opening for natural ventilation
opening_per_airflow   | kA     | cm2.h/m3 | free area of an opening over the airflow
free_volume_m3        | VF     | m3   | volume around the bank in which the air mixes
free_volume_h         | kV     | h    | volume around the bank over the airflow
spark_distance_m      | dS     | m    | distance from the bank within which nothing may spark
""")

# Sun, array, controller
_terms("""
day_of_year           | n      | 1    | day of the year, 1 to 365
day_angle_rad         | B      | rad  | angle of the day in the year
declination_rad       | δ      | rad  | declination of the sun
latitude_deg          | φ      | deg  | latitude, north positive
latitude_rad          | φr     | rad  | latitude in radians
sunset_hour_angle_rad | ωs     | rad  | hour angle of sunset
distance_factor       | E0     | 1    | square of mean over actual distance to the sun
solar_constant_w_per_m2 | Gsc  | W/m2 | solar constant
extraterrestrial_kwh_m2 | H0   | kWh/m2 | extraterrestrial radiation a day on the horizontal
clearness             | KT     | 1    | radiation at the ground over extraterrestrial
insolation_kwh_m2     | H      | kWh/m2 | radiation a day on the horizontal
month_energy_wh       | Em     | Wh   | energy a day that a month's loads take from the bank
derate_soiling        | fsoil  | 1    | share left by dirt
derate_wiring         | fwire  | 1    | share left by wiring and connections
derate_mismatch       | fmis   | 1    | share left by mismatch and nameplate tolerance
derate_shading        | fsh    | 1    | share left by shade
derate_ageing         | fage   | 1    | share left by the modules' age
controller_efficiency | ηmppt  | 1    | efficiency of the charge controller
charge_efficiency     | ηch    | 1    | energy stored over energy offered to the bank
array_efficiency      | ηa     | 1    | energy stored over nameplate power times peak sun hours
month_air_c           | Tair   | degC | air temperature of the month in the sun hours
mounting_rise_k       | ΔTm    | K    | rise of the cell over the air at full sun by mounting
irradiance_ratio      | g      | 1    | irradiance over 1000 W/m2
cell_temperature_c    | Tcell  | degC | cell temperature
power_coefficient_per_k | γ    | 1/K  | relative change of power per kelvin
voltage_coefficient_per_k | β  | 1/K  | relative change of open-circuit voltage per kelvin
max_power_voltage_coefficient_per_k | βm | 1/K | relative change of maximum-power voltage per kelvin
current_coefficient_per_k | αi | 1/K  | relative change of short-circuit current per kelvin
derate_temperature    | fT     | 1    | share left by heat
planning_margin       | fm     | 1    | share of the given sun that is planned on
array_needed_w        | P′a    | W    | nameplate power that the month needs
module_power_w        | Pm     | W    | nameplate power of one module
module_count          | nm     | 1    | number of modules
module_length_m       | lm     | m    | longer side of one module
module_width_m        | wm     | m    | shorter side of one module
module_mass_kg        | mm     | kg   | mass of one module
array_power_w         | Pa     | W    | nameplate power of the array
array_energy_wh       | Ea     | Wh   | energy a day that the array stores
open_circuit_v        | Voc    | V    | open-circuit voltage of one module
max_power_v           | Vmp    | V    | maximum-power voltage of one module
short_circuit_a       | Iscm   | A    | short-circuit current of one module
max_power_a           | Imp    | A    | maximum-power current of one module
coldest_c             | Tmin   | degC | lowest air temperature expected
hottest_c             | Tmax   | degC | highest air temperature expected
cold_open_circuit_v   | Voc,c  | V    | open-circuit voltage of one module at the coldest
cold_table_open_circuit_v | V′oc,c | V | open-circuit voltage of one module by the temperature table
cold_factor           | kV     | 1    | table factor on open-circuit voltage
hot_max_power_v       | Vmp,h  | V    | maximum-power voltage of one module at the hottest
modules_in_series     | Ns     | 1    | modules in series
strings_in_parallel   | Np     | 1    | strings in parallel
string_cold_v         | Vs,c   | V    | open-circuit voltage of a string at the coldest
string_hot_v          | Vs,h   | V    | maximum-power voltage of a string at the hottest
controller_input_limit_v | Vin  | V   | largest input voltage of the controller
controller_lowest_v   | Vstart | V    | string voltage that the controller needs to charge
start_headroom_v      | ΔVst   | V    | string voltage above the battery's that the controller needs
string_current_a      | Istr   | A    | short-circuit current of the parallel strings
irradiance_factor     | kI     | 1    | factor on short-circuit current for bright sun
photovoltaic_current_a | Ipv   | A    | largest current of a photovoltaic circuit
other_strings_current_a | Ioth | A    | current that the other strings can drive into one
module_fuse_limit_a   | Ifm    | A    | largest series fuse of the module
controller_output_a   | Iout   | A    | charging current that the array can drive
controller_limit_a    | Iprog  | A    | output to program on a charge controller
controller_rating_a   | Irat   | A    | rated output current of the controller
controller_input_limit_a | Iin | A   | largest short-circuit current of the array at the controller
clipped_fraction      | c      | 1    | share of nameplate power that the controller cannot pass
""")

# Inverter and supplies
_terms("""
sizing_margin         | km     | 1    | margin on the power of the loads that run together
continuous_needed_w   | P′inv  | W    | continuous rating that the inverter needs
apparent_needed_va    | S′inv  | VA   | apparent-power rating that the inverter needs
surge_needed_va       | S′pk   | VA   | surge rating that the inverter needs
inverter_rating_w     | Pinv   | W    | continuous rating of the inverter
inverter_rating_va    | Sinv   | VA   | apparent-power rating of the inverter
inverter_surge_va     | Spk    | VA   | surge rating of the inverter
surge_ratio           | kpk    | 1    | surge over continuous rating
surge_duration_s      | tpk    | s    | how long a surge rating lasts
modified_sine_factor  | kms    | 1    | current of a motor on a modified sine over that on a sine
between_power_w       | P12    | W    | power of the loads between the two legs
between_va            | S12    | VA   | apparent power of the loads between the two legs
bank_running_a        | Ib     | A    | current from the bank while the loads run that run together
bank_continuous_a     | Ibc    | A    | continuous current of the bank
bank_surge_a          | Ibpk   | A    | current of the bank for as long as the start lasts
bank_usable_wh        | Eu     | Wh   | usable energy of the bank
idle_share            | si     | 1    | share of the bank that the idle inverter takes in a day
advised_voltage_v     | Va     | V    | system voltage that is advised
advised_current_a     | Ia     | A    | direct current at full power on that voltage
usual_current_a       | Iu     | A    | largest direct current that is usual
leg_units             | nleg   | 1    | inverters on both legs together
rating_power_factor   | pfr    | 1    | continuous watts over volt-amperes of the rating
inverter_temperature_c | Tinv  | degC | air temperature at the inverter
derate_start_c        | T0     | degC | temperature from which equipment loses power
derate_per_k          | kd     | 1/K  | share of the rating lost per kelvin
altitude_m            | z      | m    | altitude
derate_start_m        | z0     | m    | altitude from which equipment loses power
derate_per_m          | kz     | 1/m  | share of the rating lost per metre
rating_factor         | fr     | 1    | share of the rating left by heat and altitude
cut_off_v             | Vco    | V    | low-voltage cut-off of the inverter as programmed
inverter_current_a    | Idc    | A    | direct current at full power on the cut-off voltage
surge_current_a       | Isurge | A    | direct current at the surge on the cut-off voltage
largest_load_w        | Pmax   | W    | largest single load on the inverter
derated_w             | P″inv | W    | continuous power left by heat and altitude
derated_va            | S″inv | VA   | apparent power left by heat and altitude
derated_surge_va      | S″pk  | VA   | surge left by heat and altitude
stacked_units         | ninv   | 1    | inverters of one rating working together
usual_power_w         | Pus    | W    | largest inverter that is usual at a system voltage
largest_power_w       | Plim   | W    | largest inverter that is made at a system voltage
transfer_rating_a     | Itr    | A    | rating of the transfer relay
supply_breaker_a      | Is     | A    | breaker of the supply
supply_voltage_v      | Us     | V    | line-to-neutral voltage of the supply
continuous_share      | k80    | 1    | share of a breaker that may be loaded for three hours or more
supply_limit_a        | Ilim   | A    | current limit to program for the supply
program_a             | Iset   | A    | input limit to program
supply_power_w        | Psup   | W    | power that the supply gives without end
pieces                | np     | 1    | pieces of a run between devices and switches
legs                  | nl     | 1    | live legs of the supply
charger_power_factor  | pfc    | 1    | power factor of the charger
charger_efficiency    | ηchg   | 1    | efficiency of the charger
charger_current_a     | Ichg   | A    | rated output current of the charger
charger_input_a       | Iac    | A    | input current of the charger
charging_voltage_v    | Vch    | V    | voltage at which the bank is charged
charge_hours          | tch    | h    | hours to charge the bank
charge_power_w        | Pch    | W    | power into the bank
supply_hours_per_day  | hs     | h    | hours a day that the supply is present
supply_energy_wh      | Es     | Wh   | energy a day that the supply stores
generator_rating_w    | Pg     | W    | rated power of the generator
generator_power_w     | P′g    | W    | power of the generator at its altitude and temperature
generator_current_a   | Ig     | A    | rated current of the generator, each leg
generator_share       | kg80   | 1    | share of a generator's power to load
alternator_rating_a   | Ialt   | A    | rated output of the alternator
alternator_hot_share  | kh     | 1    | hot output over rated output
alternator_spare_share | ka    | 1    | share of the hot output that may go to the bank
alternator_current_a  | Isp    | A    | alternator current that may go to the bank
dc_dc_output_a        | Idd    | A    | output current of the DC-DC charger
dc_dc_input_a         | I′dd   | A    | input current of the DC-DC charger
dc_dc_efficiency      | ηdd    | 1    | efficiency of the DC-DC charger
alternator_voltage_v  | Valt   | V    | voltage at the DC-DC charger's input
balance_wh            | ΔE     | Wh   | energy a day gained or lost by the bank
neutral_a             | IN     | A    | neutral current
leg_1_a               | I1     | A    | current of leg 1
leg_2_a               | I2     | A    | current of leg 2
shunt_rating_a        | Ish    | A    | rated current of the shunt
shunt_share           | ksh    | 1    | share of the shunt's rating to load without end
bus_bar_rating_a      | Ibar   | A    | rated current of a bus bar
switch_rating_a       | Isw    | A    | rated current of a battery switch
switch_voltage_v      | Vsw    | V    | voltage rating of a battery switch
""")

# Supplies and the year in detail
_terms("""
leg_power_w           | Pleg   | W    | power that one leg of the supply gives without end
altitude_factor       | fz     | 1    | share of a generator's rating left by altitude
heat_factor           | fh     | 1    | share of a generator's rating left by heat
generator_start_va    | Sst    | VA   | apparent power that the generator gives for the seconds of a start
start_asked_va        | S′st   | VA   | running loads with the largest start among them
running_asked_va      | S′r    | VA   | loads that run together on the supply
shore_va              | Ssh    | VA   | apparent power of the loads that only shore or a generator serves
leg_asked_a           | I′leg  | A    | current that the loads ask of one leg of the supply
charger_input_va      | Sac    | VA   | apparent power that the charger takes
charger_allowed_a     | Iall   | A    | charger output that the supply carries
charger_setting_a     | Iset   | A    | charger output to program on the supply
left_va               | Sleft  | VA   | apparent power left for loads while the charger runs
ac_energy_wh          | Eac    | Wh   | energy a day at the bank, alternating-current loads
inlet_legs            | nin    | 1    | legs of the inlet behind an adapter
dc_energy_wh          | Edc    | Wh   | energy a day at the bank, direct-current loads
mean_load_w           | Pm     | W    | power of all loads in an average hour, at the bank
mean_dc_w             | Pm,dc  | W    | power of the direct-current loads in an average hour, at the bank
mean_ac_w             | Pm,ac  | W    | power of the alternating-current loads in an average hour, at the bank
load_current_a        | Il     | A    | share of the charging current that the loads of an average hour take
bank_balance_w        | ΔP     | W    | power over for the bank with the loads of an average hour on
supplement_w          | Psup+  | W    | power that the inverter adds to the supply
absorption_start      | SoCabs | 1    | share of the capacity stored when absorption begins
bulk_ah               | Qb     | Ah   | charge to put back before absorption
rest_ah               | Qr     | Ah   | charge to put back during absorption
bulk_hours            | tb     | h    | hours of charging before absorption
taper_hours           | tt     | h    | hours of charging from the beginning of absorption to full
stored_ah             | Qst    | Ah   | charge that a supply stores on a day on which it is there
carried_wh            | Ecar   | Wh   | energy of the loads that a supply carries on a day on which it is there
days_per_week         | dw     | d    | days of a week on which the supply is there
alternator_hot_a      | Ihot   | A    | hot output of the alternator
alternator_idle_share | kidle  | 1    | output at idle over rated output
alternator_idle_a     | Iidle  | A    | output of the alternator at idle
acceptance_a          | Iacc   | A    | charging current that a discharged bank accepts
charge_total_a        | ΣIch   | A    | charging current of all chargers that can run together
income_wh             | Ein    | Wh   | energy a day from sun and supplies
covered_fraction      | c      | 1    | share of the loads' energy that sun and supplies bring
covered_limit         | cmin   | 1    | share of the loads' energy that has to be brought
days_to_empty         | dE     | d    | days on which a full bank lasts
""")

# Array in detail
_terms("""
latitude_below_deg    | φ0     | deg  | next row of the table below the latitude
extraterrestrial_below_kwh_m2 | H0,0 | kWh/m2 | extraterrestrial radiation a day at the row below the latitude
extraterrestrial_above_kwh_m2 | H0,1 | kWh/m2 | extraterrestrial radiation a day at the row above the latitude
peak_sun_hours        | PSH    | h    | radiation a day over 1 kW/m2
planned_insolation_kwh_m2 | H′  | kWh/m2 | radiation a day in the plane of the modules that is planned on
resource_error        | σH     | 1    | one standard deviation of the sun over its mean
hot_cell_c            | Tcell,h | degC | cell temperature at full sun in the hottest air
month_other_wh        | Eoth   | Wh   | energy a day that other supplies store in a month
month_net_wh          | Enet   | Wh   | energy a day of a month that is left for the array
owned_energy_wh       | Eown   | Wh   | energy a day that owned modules store
month_left_wh         | E′net  | Wh   | energy a day of a month that is left for new modules
cold_coefficient_open_circuit_v | V″oc,c | V | open-circuit voltage of one module at the coldest by its own coefficient
controllers_most      | nc,max | 1   | most like controllers side by side
output_allowed_a      | I′out  | A    | charging current up to which the allowed share is clipped
power_ratio           | kP     | 1    | power that one month needs over that of another
middle_needed_w       | P′mid  | W    | nameplate power that the middle month needs
group_power_w         | Pgr    | W    | nameplate power of the modules behind like controllers
unit_array_power_w    | Pc     | W    | nameplate power at one controller
voltage_coefficient_v_per_k | βV | V/K  | change of open-circuit voltage per kelvin
voltage_limit_v       | Vlim   | V    | largest photovoltaic voltage that the practice permits
string_voltage_limit_v | Vs,max | V   | largest voltage of a string at this controller
controllers           | nc     | 1    | like controllers side by side
modules_each          | nm,c   | 1    | modules at one controller
series_bound          | Ns,b   | 1    | bound on the modules in series
parallel_bound        | Np,b   | 1    | bound on the strings in parallel
module_bound          | nm,b   | 1    | bound on the number of modules
clipping_limit        | cmax   | 1    | share of nameplate power that may be clipped
backfeed_a            | Ibf    | A    | current that the controller lets back into the array
string_fuse_needed_a  | I′fs   | A    | smallest permitted rating of a string's fuse
roof_area_m2          | Ar     | m2   | free area of the roof
roof_fill             | kfill  | 1    | share of the free area that whole modules fill
module_area_m2        | Am     | m2   | area of one module
module_density_w_per_m2 | pm   | W/m2 | nameplate power per area of module
owned_area_m2         | Aown   | m2   | area of the owned modules that stay
""")

# Faults at a point, and how parallel units share a current
_terms("""
string_fault_a        | Isc,1  | A    | short-circuit current of one string at its posts
unit_resistance_ohm   | Ru     | ohm  | internal resistance of one unit
joints                | nj     | 1    | bolted joints in series
path_resistance_ohm   | Rp     | ohm  | resistance from the source's posts to the point, out and back
least_run_m           | Lmin   | m    | one-way length from which on a short-circuit current is within a rating
cranking_current_a    | CCA    | A    | cold-cranking current of all strings together
short_circuit_per_cranking | kcc | 1   | upper-bound short-circuit current over cold-cranking current
cranking_up_to_a      | CCAmax | A    | largest cold-cranking current of all batteries for which a row holds
main_interrupting_a   | Icn,m  | A    | least interrupting rating of the main breaker
branch_interrupting_a | Icn,b  | A    | least interrupting rating of branch breakers
clearing_time_s       | t      | s    | time in which a device stops a short circuit
withstand_area_mm2    | Smin   | mm2  | smallest area that stands the short circuit
withstand_time_s      | tmax   | s    | longest time that a conductor stands the short circuit
low_resistance_capacity_ohm_ah | ρmin | ohm.Ah | low end of resistance times capacity
typical_resistance_capacity_ohm_ah | ρt | ohm.Ah | typical resistance times capacity
high_resistance_capacity_ohm_ah | ρmax | ohm.Ah | high end of resistance times capacity
figure_cells          | nρ     | 1    | cells in series for which a product of resistance and capacity stands
own_resistance_ohm    | Ro     | ohm  | resistance in series with one unit alone, out and back
string_resistance_ohm | r      | ohm  | resistance of one string with everything that is in series with it alone
link_resistance_ohm   | Rl     | ohm  | resistance of one link or lead
back_resistance_ohm   | Z″     | ohm  | resistance from a unit back through a pair of links into all units before it
driving_v             | UΣ     | V    | what the drops of the links of one pole add up to drive through the other units
pair_resistance_ohm   | Rll    | ohm  | resistance of a link of the positive and one of the negative pole together
rest_resistance_ohm   | Z′     | ohm  | resistance into the units beyond a pair of links
section_resistance_ohm | Z     | ohm  | resistance into a unit and all beyond it
bank_resistance_ohm   | Rb     | ohm  | resistance of the whole bank at its take-off
total_current_a       | It     | A    | current of the whole bank
arriving_current_a    | Ia     | A    | current that a unit and all beyond it give together
shared_current_a      | Ik     | A    | current of one unit in the bank
before_current_a      | I′l    | A    | current of the link before a unit
gathered_current_a    | Il     | A    | current of a link
near_current_a        | Ik,1   | A    | current of a unit when both leads are at the first unit
far_current_a         | Ik,n   | A    | current of a unit when both leads are at the last unit
largest_current_a     | Imax   | A    | current of the unit that carries most
bus_current_a         | Ibus   | A    | current of the unit that carries most behind equal leads to bus bars
current_share         | sk     | 1    | share of a unit in the current of the bank
equal_current_a       | Ieq    | A    | current of a unit if all shared alike
uneven_ratio          | q      | 1    | current of a unit over its equal share
usable_ratio          | ku     | 1    | equal share over the current of the unit that carries most
layout_ratio          | kl     | 1    | largest current behind bus bars over that of the layout
heat_w                | Pk     | W    | heat in one unit or conductor
unit_limit_a          | Ilim,u | A    | largest current that one unit may give or take
bank_limit_a          | Ilim,b | A    | current of the bank at which the first unit is at its limit
""")

# Two legs and their neutral, neutral-earth bonds
_terms("""
between_legs_v        | U12    | V    | voltage between the two legs
line_to_line_least_v  | Umin12 | V    | least voltage between legs that supplies line-to-line loads
line_to_line_power    | k12    | 1    | power of a resistive line-to-line load over its power on legs in opposition
joint_breaker_a       | In     | A    | breaker in the one hot that feeds both legs
leg_1_breaker_a       | In1    | A    | breaker in leg 1
leg_2_breaker_a       | In2    | A    | breaker in leg 2
neutral_worst_a       | IN,max | A    | largest neutral current that the overcurrent devices let through
neutral_limit_a       | IzN    | A    | largest current of a neutral conductor, plug contact or transfer pole
hot_a                 | Ih     | A    | current of the one hot that feeds both legs
leg_limit_a           | Ileg   | A    | largest current of a leg
contact_limit_a       | Ict    | A    | rated current of a plug contact, an adapter or a cord
neutral_ratio         | qN     | 1    | neutral current over its limit
heat_ratio            | q²     | 1    | heat over that at the limit
own_leg_a             | Ia     | A    | current of the leg that is looked at
other_leg_a           | Ib     | A    | current of the other leg
phase_cosine          | c12    | 1    | cosine of the angle between the voltages of the two legs
leg_resistance_ohm    | Rleg   | ohm  | resistance of a leg's conductor, one way
neutral_resistance_ohm | RN    | ohm  | resistance of the neutral conductor, one way
leg_drop_v            | ΔUleg  | V    | voltage drop of a leg with that of its neutral
open_neutral_a        | Iser   | A    | current of the two legs' loads in series once the neutral is open
open_leg_v            | Uopen  | V    | voltage of a leg once the neutral is open
neutral_path_ohm      | ZN     | ohm  | resistance of the neutral between two bonds
earth_path_ohm        | ZE     | ohm  | resistance of the earth path beside it
earth_current_a       | IE     | A    | current in the earth path between two bonds
residual_limit_a      | IΔn    | A    | rated residual current of the protection upstream
transfer_poles        | nt     | 1    | poles of the transfer equipment
poles_needed          | n′t    | 1    | poles that the transfer equipment needs
bond_area_mm2         | Sb     | mm2  | area of a bonding or grounding conductor
bond_needed_mm2       | S′b    | mm2  | smallest area that the rule asks of a bonding or grounding conductor
output_va             | Sout   | VA   | apparent power that one output of the inverter gives
output_asked_va       | S′out  | VA   | apparent power that the circuits ask of one output of the inverter
lead_area_mm2         | Sl     | mm2  | area of the largest ungrounded conductor
line_area_cmil        | CMl    | cmil | area of the largest ungrounded conductor, largest of a table row
bond_area_cmil        | CMb    | cmil | smallest area of a bonding or grounding conductor
""")

# Run time and recharge
_terms("""
mean_draw_w           | Pd     | W    | power of like appliances averaged over their duty
section_dc_w          | Ps,dc  | W    | direct-current power in a section of the day, averaged over duties
section_dc_most_w     | Pm,dc  | W    | direct-current power in a section of the day with everything on
section_ac_w          | Ps,ac  | W    | alternating-current power in a section of the day, averaged over duties
section_ac_most_w     | Pm,ac  | W    | alternating-current power in a section of the day with everything on
inverter_slope        | ai     | 1    | power that an inverter takes for each watt that it gives, at light load
inverter_square_per_w | bi     | 1/W  | what an inverter takes more by the square of its load
inverter_input_w      | Pi,dc  | W    | power that an inverter takes
section_w             | Ps     | W    | power at the bank in a section of the day, averaged over duties
section_most_w        | Pm     | W    | power at the bank in a section of the day with everything on
charging_power_w      | Pin    | W    | steady charging power at the bank
net_current_a         | In     | A    | current out of the bank less what charging brings
net_most_w            | Pnm    | W    | power out of the bank with everything on, less what charging brings
rate_current_a        | Irt    | A    | current by which the rate of a discharge is judged
rate_factor           | kP     | 1    | charge used up over charge given, by the rate of the discharge
used_current_a        | Iu     | A    | charge used up an hour; below nought while the bank fills
section_hours         | hs     | h    | length of a section of the day
section_from_h        | h1     | h    | beginning of a section of the day, from the start of the run
section_to_h          | h2     | h    | end of a section of the day, from the start of the run
clock_from_h          | hf     | h    | hour of the day at which a load or a supply begins
start_hour_h          | h0     | h    | hour of the day at which the run begins
section_ah            | Qs     | Ah   | charge used up in a section of the day
day_current_a         | Iday   | A    | current out of the bank averaged over a day
used_ah               | Qu     | Ah   | charge used up since the bank was full
start_used_ah         | Qu0    | Ah   | charge used up at the beginning of a day
section_wh            | Es,s   | Wh   | energy at the bank in a section of the day
day_w                 | Pday   | W    | power at the bank averaged over a day
day_used_ah           | Qday   | Ah   | charge used up a day
whole_days            | nd     | 1    | whole days
elapsed_hours         | te     | h    | hours since the start
usable_ah             | Q      | Ah   | charge that may be used up before the run ends
state_of_charge       | SoC    | 1    | charge in the bank over what it holds when full
held_share            | kh     | 1    | capacity that the bank still has over its rated capacity
reach_share           | kr     | 1    | share of a full bank that comes out before the cut-off under load
below_soc             | s1     | 1    | state of charge at the next row below of a table
above_soc             | s2     | 1    | state of charge at the next row above of a table
below_cell_v          | U1     | V    | voltage of a rested cell at the next row below of a table
above_cell_v          | U2     | V    | voltage of a rested cell at the next row above of a table
open_cell_v           | Uoc/c  | V    | voltage of a rested cell
resistance_ratio      | kR     | 1    | resistance under load over that of the data sheet
switch_resistance_ohm | Rsw    | ohm  | resistance of the switch of a management system
loaded_v              | Uld    | V    | voltage of the bank under load
taper_constant_h      | τ      | h    | time in which the charging current falls by a factor of e on absorption voltage
tail_current_a        | It     | A    | charging current at which the bank counts as full
missing_ah            | Qm     | Ah   | charge that the bank lacks
target_missing_ah     | Qt     | Ah   | charge that the bank may lack at the end of the charge
knee_ah               | Qk     | Ah   | charge that the bank lacks when its current begins to fall
ceiling_missing_ah    | Qc     | Ah   | charge that the bank lacks where a charger of too low a voltage stops
target_state          | SoCt   | 1    | state of charge that is asked for
filling_a             | Ifill  | A    | charging current that reaches the bank
supplied_a            | Isup   | A    | current that a supply gives on charging voltage
supplies_a            | ΣIsup  | A    | current that all supplies of a section of the day give together
loads_w               | Pl     | W    | steady power of loads at the bank
loads_a               | Il     | A    | current of loads on charging voltage
ac_loads_w            | Pl,ac  | W    | steady power of alternating-current loads
input_limit_w         | Plim   | W    | power that a supply has for charger and loads
input_power_w         | Pchg   | W    | power that a charger takes
array_nameplate_w     | Pa,n   | W    | nameplate power of an array
array_output_w        | Pa,out | W    | power that an array gives to the bank in full sun
array_share           | kout   | 1    | power at the bank in full sun over nameplate power
charge_in_ah          | Qin    | Ah   | charge that went into the bank
energy_in_wh          | Ein,b  | Wh   | energy that went into the bank
energy_stored_wh      | Est    | Wh   | energy stored in the bank
energy_lost_wh        | Elost  | Wh   | energy that turned to heat
fuel_l_per_h          | qf     | L/h  | fuel that a generator burns an hour while it charges
fuel_l                | Vf     | L    | fuel burnt
charger_v             | Uchg   | V    | highest voltage that a charger reaches
present_hours         | tp     | h    | hours that a supply was present
full_cell_share       | kc     | 1    | state of charge that a charger of too low a voltage reaches
""")

formula = declare(TERMS)
