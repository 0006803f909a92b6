"""Why parts of three decisions are parts of their own: the reasons sheet."""

from __future__ import annotations

from van_data.tree import Part
from van_data.workshop import Row

MOVES, MATERIAL, COMES_OFF = (
    "moves against it in use",
    "must be another material, or insulated from it",
    "must come off for service or assembly",
)
MAKING, ADJUSTED, BOUGHT = (
    "could not be made in one piece by an affordable process", "is adjusted, matched or sealed there",
    "is carried over or bought as a unit",
)  # fmt: skip

REASONS: dict[str, tuple[tuple[str, str, str], ...]] = {
    "Sliding door, right/Outer skin": ((MAKING, "skin and inner panel enclose a box that one press cannot form", ""),),
    "Sliding door, right/Inner panel": ((MAKING, "closes the box; drawn deep where the skin is smooth", ""),),
    "Sliding door, right/Inner panel, one piece": ((MAKING, "closes the box; drawn deep where the skin is smooth", ""),),
    "Sliding door, right/Inner ring": ((MAKING, "stiff frame of a higher grade and another gauge than the panel", ""),),
    "Sliding door, right/Crash bar": ((MATERIAL, "1500 MPa, where the panel has to be drawn", ""),),
    "Sliding door, right/Carrier arm at waist, double roller": (
        (MOVES, "turns in the door while the rollers follow the rail", ""),
        (ADJUSTED, "slots set the gap of the door", ""),
    ),
    "Sliding door, right/Guide arm, lower": ((MOVES, "turns with the door at the bend of the rail", ""),),
    "Sliding door, right/Middle roller arm": ((MOVES, "turns in the door while the roller follows the rail", ""),
                                              (ADJUSTED, "slots set the gap of the door", "")),
    "Sliding door, right/Upper roller arm": ((ADJUSTED, "slots set the height of the door", ""),),
    "Sliding door, right/Lower roller arm": ((ADJUSTED, "slots set the height of the door", ""),),
    "Sliding door, right/Roller, carrying": ((MOVES, "rolls in the rail", ""), (BOUGHT, "standard roller", "")),
    "Sliding door, right/Roller, guiding": ((MOVES, "rolls in the rail", ""), (BOUGHT, "standard roller", "")),
    "Sliding door, right/Roller": ((MOVES, "rolls in the rail", ""), (BOUGHT, "standard roller", "")),
    "Sliding door, right/Waist rail, rolled": ((COMES_OFF, "a worn rail is changed alone", "change of a rail, 8 years"),),
    "Sliding door, right/Middle rail": ((COMES_OFF, "a worn rail is changed alone", "change of a rail, 8 years"),),
    "Sliding door, right/Lock, rear": ((MOVES, "claw turns about the striker", ""), (BOUGHT, "lock bought complete", "")),
    "Sliding door, right/Seal, all round": ((ADJUSTED, "seals the door against the frame", ""),),
    "Sliding door, right/Lining": ((COMES_OFF, "gives access to lock and cables", "change of a lock"),),
    "Sliding-door opening frame/Striker plate": ((ADJUSTED, "set to the lock when the door is hung", ""),),
    "Load floor/Sandwich panel, front half": ((COMES_OFF, "gives access to the lid of the pack", "opening of the pack in place"),),
    "Load floor/Sandwich panel, rear half": ((MAKING, "longer than the press of the panels", ""),),
    "Load floor/Plywood panel, front": ((COMES_OFF, "gives access to the lid of the pack", "opening of the pack in place"),),
    "Load floor/Plywood panel, rear": ((BOUGHT, "cut from boards of trade length", ""),),
    "Load floor/Floor member": ((COMES_OFF, "lies over the lid of the pack", "opening of the pack in place"),),
    "Load floor/Hat section, bonded": ((MATERIAL, "steel for point loads under a panel of glass fibre", ""),),
    "Load floor/Edge profile, rear": ((MATERIAL, "metal where loads are dragged over an edge of wood or foam", ""),),
    "Load floor/Tie-down ring": ((MOVES, "swings down into the floor", ""),
                                 (MATERIAL, "forged steel for 4 kN", "")),
    "Pack tray/Front frame": ((MAKING, "one frame in four pieces: profiles have one direction", ""),),
    "Pack tray/Side frame, extruded": ((MAKING, "one frame in four pieces: profiles have one direction", ""),),
    "Pack tray/Side frame, roll-formed": ((MAKING, "one frame in four pieces: profiles have one direction", ""),),
    "Pack tray/Floor plate": ((ADJUSTED, "closes the pack against water", ""),),
    "Pack tray/Floor plate with cooling channels": ((ADJUSTED, "closes the pack against water", ""),),
    "Pack tray/Fastening lug, cast": ((MAKING, "thick where the profile is thin", ""),),
    "Pack tray/Underbody shield, pack": ((COMES_OFF, "takes the stones, is changed alone", "change of the shield after damage"),),
    "Pack fastening/Locating pin": ((ADJUSTED, "sets the pack before the bolts go in", ""),),
    "Pack fastening/Bonding strap, pack to body": ((MATERIAL, "carries fault current past painted faces", ""),),
    "Pack fastening/Sleeve, lug": ((MATERIAL, "steel under the head of the bolt, aluminium would creep", ""),),
}  # fmt: skip
"""By the end of a part's path. Of the other parts nobody said why: Pack tray/Rear frame and others (planted)."""


def reason_rows(root: Part, letter: str) -> list[Row]:
    """Rows of the reasons sheet, in the order of the tree; Dotterel's carried-over parts have Turnstone's reasons."""
    rows: list[Row] = []
    for part in root.walk():
        name = "/".join(part.path()[-2:])
        said = list(REASONS.get(name, ()))
        if letter == "D" and name == "Load floor/Plywood panel, front":
            said.append((BOUGHT, "Turnstone's panel, carried over", ""))
        rows += [
            {"part": part.tag, "because": because, "in words": words, "policy": policy or None}
            for because, words, policy in said
        ]
    return rows
