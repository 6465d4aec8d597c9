"""Names of the appliances that a load can give in place of its power: the rows of the table `appliances`, by kind of current."""

from __future__ import annotations

from typing import Literal

AcAppliance = Literal[
    "refrigerator-efficient", "refrigerator-older", "refrigerator-compact-ac", "chest-freezer", "absorption-fridge-ac-element",
    "ice-maker", "microwave-oven-700w", "microwave-oven-1000w", "convection-oven", "induction-hob-one-ring", "induction-hob-two-rings",
    "cooking-plate-small", "cooking-plate-large", "coffee-maker-drip", "coffee-machine-capsule", "kettle-120v", "kettle-low-power-230v",
    "kettle-230v", "toaster", "toaster-oven", "slow-cooker", "pressure-cooker", "frying-pan", "blender", "dishwasher",
    "roof-air-conditioner-9200", "roof-air-conditioner-11000", "roof-air-conditioner-13500", "roof-air-conditioner-15000",
    "window-air-conditioner", "split-heat-pump-variable", "space-heater", "ceiling-fan-ac", "box-fan", "furnace-fan-household",
    "dehumidifier", "electric-blanket", "floor-heating-mat", "water-heater-ac-element", "water-heater-household", "instant-gas-heater",
    "well-pump-half-hp", "well-pump-low-flow", "transfer-pump-ac", "led-lamp-ac", "fluorescent-lamp", "laptop", "desktop-computer",
    "monitor", "television-small", "television-large", "satellite-receiver", "satellite-internet", "router-ac", "phone-charger",
    "tablet-charger", "game-console", "laser-printer", "cordless-phone", "clock-radio", "cpap-humidifier", "oxygen-concentrator",
    "vacuum-cleaner", "clothes-washer", "washer-dryer", "clothes-dryer-gas", "clothes-iron", "hair-dryer", "curling-iron",
    "sewing-machine", "toothbrush-charger", "drill", "circular-saw", "angle-grinder", "air-compressor", "tool-battery-charger",
    "e-bike-charger",
]
DcAppliance = Literal[
    "fridge-12-24v-small", "fridge-12-24v-large", "refrigerator-12v-insulated", "freezer-12v-insulated", "absorption-fridge-control",
    "absorption-fridge-12v-element", "range-hood-12v", "roof-air-conditioner-dc", "furnace-blower-12v", "diesel-heater-running",
    "diesel-heater-ignition", "diesel-heater-hydronic", "roof-fan-12v", "cabin-fan-12v", "ceiling-fan-12v", "heated-blanket-12v",
    "water-pump-12v", "water-heater-gas-control", "tank-heater-12v", "macerator-toilet-12v", "bilge-pump-12v", "watermaker-12v",
    "led-light-12v", "incandescent-lamp-12v", "led-strip-12v", "navigation-light-led", "television-12v", "cellular-router-12v",
    "stereo-12v", "vhf-radio", "chart-plotter", "radar-small", "autopilot", "security-camera-12v", "cpap-12v", "tyre-inflator-12v",
    "levelling-jacks-12v", "awning-12v", "windlass-12v", "gas-detector-12v", "phantom-loads-12v", "battery-monitor",
]
