"""What may hurt someone or break a machine on the way from a file to a sticker.

Shown wherever that work is: on the page's last step, in the README, the first kit, print and cut,
the trial's text and the report. To add a caution, add one sentence here, and make the docs again.
"""

from __future__ import annotations

CAUTIONS = (
    "Follow the instructions of your printer, cutter and paper first, then your local rules; they "
    "come before anything said here.",
    "Never put inkjet paper through a laser printer or a hot laminator unless its maker says so: "
    "it can melt or jam there, and hot parts burn.",
    "Let prints dry before you stack, laminate or cut them. Wet ink smears, and it can stain and "
    "irritate skin.",
    "Use sprays, glues and cleaners as their labels say, in fresh air and away from flames: their "
    "solvents burn and are harmful to breathe.",
    "Keep fingers, hair, sleeves and cords away from blades and moving carriages. Switch the "
    "machine off before you touch its blade, and put old blades into a closed, rigid box.",
    "Keep blades, machines and stickers away from small children: small parts end up in mouths.",
)
