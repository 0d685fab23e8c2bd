"""Plain classroom English."""

from __future__ import annotations

from cli.cautions import CAUTIONS
from cli.sheets.words import ENGLISH as ENGLISH_LEGEND
from cli.wording import english_marking
from cli.wording.words import CommonWords, HandoutWords, StabilityWords, Wording, WorkedWords
from cli.wording.worksheet_words import WorksheetWords

__all__ = ["ENGLISH"]

_COMMON = CommonWords(
    tension="tension",
    compression="compression",
    zero="zero-force",
    unsure="sign not certain",
    member="Member",
    joint="Joint",
    force="Force",
    force_in="Force in {unit}",
    length_in="Length in {unit}",
    sense="T or C",
    support="Support",
    pin="pin",
    roller="roller",
    right_in="Right in {unit}",
    up_in="Up in {unit}",
    error="±",
    separator=", ",
    last=" and ",
    more="{count} more",
    caution_head="Please note",
    cautions=CAUTIONS,
)

_STABILITY = StabilityWords(
    moves="The truss can still move.",
    moves_in_ways="The truss can still move in {ways} ways.",
    whole_slides_sideways="The whole truss slides sideways: its supports do not hold it.",
    whole_slides_up="The whole truss slides up and down: its supports do not hold it.",
    whole_slides_at_a_slant="The whole truss slides at a slant: its supports do not hold it.",
    whole_turns="The whole truss turns: its supports do not hold it.",
    panel_racks="The panel {panels} can rack.",
    panels_rack="The panels {panels} can rack.",
    joint_moves="Joint {joints} moves.",
    joints_move="Joints {joints} move.",
    count_hides_it=("The count alone does not show it: members or supports are not where they are needed."),
    add_support="Add a support: most often a pin holds one end and a roller the other.",
    rollers_in_line="All its rollers push along one line: turn one of them, or use a pin in its place.",
    through_one_point="All its supports push through one point: turn or move one of them.",
    put_diagonal="Put a diagonal into it.",
    put_diagonals="Put a diagonal into each such panel.",
    add_member="Add a member or a support where it moves.",
    indeterminate=(
        "The truss is statically indeterminate to degree {degree}: it has {more} more than equilibrium "
        "needs, so equilibrium alone cannot find the forces."
    ),
    indeterminate_elsewhere=(
        "The truss is statically indeterminate to degree {degree} elsewhere: it has {more} more than "
        "equilibrium needs, so equilibrium alone cannot find the forces."
    ),
    one_more="one member or reaction",
    several_more="{degree} members or reactions",
    shared_by="What shares these forces: {sharing}.",
    one_member="member {names}",
    several_members="members {names}",
    one_support="the support at {names}",
    several_supports="the supports at {names}",
    take_one="Take one of them away.",
    take_several="Take {degree} of them away.",
    one_or_roller="Take one of them away, or make a pin a roller.",
    several_or_roller="Take {degree} of them away, or make a pin a roller.",
)

_WORKED = WorkedWords(
    kind="Worked solution",
    untitled="Truss",
    picture="The picture",
    picture_alt="The photograph, with the truss that was read from it drawn over it and every joint named.",
    picture_caption="What was read from {file}: members in blue, a name at every joint.",
    truss="The truss",
    truss_alt=(
        "The truss to scale, with {joints} joints and {members} members, their names, supports, loads and "
        "dimensions."
    ),
    truss_caption="Drawn to scale. Lengths in {length}, loads in {force}.",
    assumptions="What is assumed",
    assumed=(
        "Every joint is a pin without friction. Loads and supports act at joints only.",
        "The forces balance on the shape as it is drawn: nothing stretches or sags.",
    ),
    weightless="Members are straight and weigh nothing.",
    with_weight="Members are straight. Half the weight of each acts at either end.",
    signs=(
        "Right, up and counter-clockwise are positive. An unknown force in a member is drawn as tension (T), "
        "pulling away from the joint; a minus sign in the answer means compression (C)."
    ),
    rounding=(
        "Numbers in equations are in {force} and {length}. Forces are written to {figures} figures; more "
        "figures are carried behind them."
    ),
    count="Can equilibrium alone solve it?",
    count_text=(
        "Unknown are {m} member forces and {r} reactions. Each of the {j} joints gives two equations."
    ),
    determinate=(
        "There are as many unknowns as equations, and the rank of the equations says that none of them "
        "repeats another: the truss is statically determinate."
    ),
    run="run",
    rise="rise",
    slopes="Angles from rise and run",
    slopes_text="Run and rise are read off the drawing. Length, cosine, sine and angle follow:",
    slope_heads=("Members", "Run in {unit}", "Rise in {unit}", "Length in {unit}"),
    loads="Loads brought to the joints",
    loads_text="A truss takes loads at its joints only, so each load is brought there first.",
    load_heads=("Joint", "Right in {unit}", "Up in {unit}", "Because"),
    deck_share="{length} {unit} of the deck {where} belong to it",
    weight_share="half the weight of member {where}, {whole} {unit} long",
    lever_share="share {length}/{whole} of the load on member {where}",
    lever_note="The bending of a member that is loaded between its joints is not covered.",
    reactions="Reactions",
    reactions_text="Take the supports away and put their forces in their place. Then the whole truss balances.",
    whole_alt="Free body of the whole truss: its supports are replaced by their unknown forces.",
    part_text="The part with joints {joints} hangs on the rest at joint {hinge}. Moments about {hinge}:",
    sum_text="All forces {way}:",
    ways={"x": "to the right", "y": "up"},
    moment_text="Moments about joint {joint}:",
    reactions_left=("Equilibrium of the whole does not give {names}. The joints give them further on."),
    zero_members="Zero-force members",
    zero_text="These members carry nothing. One sees it without calculating:",
    zero_rules={
        "two members": "joint {joint} has no load and joins only these two, which are not in one line",
        "one member": "joint {joint} has no load and joins nothing else",
        "three forces": "joint {joint} has no load, and the other members there are in one line",
        "load along one member": "all other forces at joint {joint} are in one line",
    },
    zero_line="{members}: {rule}.",
    joints="Joint by joint",
    joints_text="Each joint balances by itself. Go where at most two forces are unknown: two equations find them.",
    joint_head="Joint {joint}",
    joint_alt="Free body of joint {joint}, drawn to the directions of the truss: {forces}.",
    together="The two equations are solved together:",
    together_all="Together they give:",
    must_hold="a check: it holds",
    section_head="Section through {members}",
    section_alt="The truss cut through {members}, with the part {joints} as a free body.",
    section_text=(
        "No joint has only two unknown forces left. So cut the truss through {members} and look at the part "
        "with joints {joints}."
    ),
    section_moment="Moments about {centre}, where the lines of the other unknown forces meet:",
    section_along="All forces square to the other unknown forces, which are parallel:",
    section_across="All forces {way}:",
    block_head="Joints solved together",
    block_text=(
        "No joint has two unknowns and no section cuts few enough. The equations of joints {joints} are solved "
        "together: {equations} equations with {unknowns} unknowns."
    ),
    members="Reactions and members",
    members_caption="Forces in the members in {unit}; tension is positive.",
    reactions_caption="Reactions: the force of each support on the truss.",
    forces="The forces in one picture",
    forces_alt="The truss with every member's force beside it; tension, compression and zero-force members are told apart by colour, dashes and letters.",
    forces_caption="The wider the line, the larger the force.",
    forces_in_table="Too small to write the forces in: they are in the table.",
    overlay_alt="The photograph with every member's force drawn on it.",
    overlay_caption="On the photograph: the wider the line, the larger the force.",
    checks="Checks",
    check_whole="Loads and reactions of the whole truss balance:",
    check_joint="At joint {joint} every force was found elsewhere. They must balance there too:",
    check_sections=(
        "{count} of {members} member forces were found again by a section, each with one equation of its own; "
        "{agree} agree."
    ),
    residual="With all figures carried, no joint lacks more than {lacking} of the largest load.",
    sure="How sure is it?",
    sure_exact="The places of the joints were given, so the forces follow from them without error.",
    sure_written="The lengths that are written fix the shape of the truss, so picking the joints from the picture moves no force. Nothing is known of a wrong length.",
    sure_picked=(
        "The joints were picked from a picture. That moves each force by about the ± in the table (one standard "
        "error). The ± knows nothing of a sketch out of scale or a wrong length."
    ),
    sure_all="No sign is in doubt.",
    sure_not=(
        "Whether these are in tension or compression is not certain at two standard errors: {members}. They are "
        "marked (?)."
    ),
    notices={
        "near mechanism": (
            "The truss is nearly a mechanism: small changes of its shape change the forces a lot."
        ),
        "roller pulls": (
            "The roller at joint {joints} would have to hold the truss down. A roller that only rests on its "
            "surface would lift off."
        ),
        "lever rule": (
            "The load on member {joints} was shared to its two ends by the lever rule; the bending of that "
            "member is not covered."
        ),
        "residual": "The last figures are to be treated with care: the equations are badly conditioned.",
    },
    no_answer="Why there is no solution",
    no_answer_text="So this sheet has no forces in it. It shows the truss, the count and the reason.",
    motion_alt="The truss, and dashed how it moves.",
    motion_caption="Dashed: where it moves to. How far is not to scale.",
)

_HANDOUT = HandoutWords(
    kind="Handout",
    table_caption="Forces in the members in {unit}; tension is positive.",
    ranking="What gives way first",
    ranking_caption="The share of its strength that each member uses; the first of them gives way first.",
    ranking_heads=("Member", "Force in {unit}", "Strength in {unit}", "Used", "By"),
    modes={
        "tension": "tension",
        "crushing": "crushing",
        "buckling": "buckling",
        "buckling out of plane": "buckling out of plane",
        "joint": "its joint",
    },
    overlay_alt="The photograph with every member's force drawn on it, and a legend.",
    no_picture_alt="The truss to scale with every member's force beside it.",
)

ENGLISH = Wording(
    language="en",
    decimal=".",
    page="Page {page} of {pages}",
    sheet=ENGLISH_LEGEND,
    common=_COMMON,
    stability=_STABILITY,
    worked=_WORKED,
    handout=_HANDOUT,
    marks=english_marking.MARKS,
    slips=english_marking.SLIPS,
    feedback=english_marking.FEEDBACK,
    summary=english_marking.CLASS,
    worksheet=WorksheetWords(
        kind="Worksheet",
        key="Key",
        sheet="Sheet {code}",
        version="Version {letter} · sheet {code}",
        name="Name",
        group="Class",
        date="Date",
        task="Find the reactions and the force in every member. Give forces in {unit}, to {figures} significant figures.",
        figure_alt="The truss with its supports, loads and lengths. Joints: {names}.",
        leaning_load="The load at {joint} is {across} to the {side} and {up} {way}.",
        leaning_roller="The roller at {joint} pushes {across} to the {side} for every {up} {way}.",
        right="right",
        left="left",
        up="up",
        down="down",
        deck="The deck from {first} to {last} carries {load}; what comes of it to each joint is drawn.",
        weight="The members weigh {load}; half of each member's weight is drawn at either end.",
        count="Can it be solved by equilibrium alone?",
        members_word="members",
        reactions_word="reactions",
        joints_word="joints",
        determinate_choice="determinate:  yes / no",
        reactions="Reactions",
        reactions_hint="x is positive to the right, y upwards.",
        reactions_push="n is the push of a roller, square to its ground and into the truss.",
        members="Members",
        members_hint="Write how large the force is, and circle T for tension, C for compression or 0 for a "
        "zero-force member.",
        senses="T / C / 0",
        key_text="In the order of the worksheet. Forces are in {unit}.",
        key_figure_alt="The truss with the force in every member.",
        exactly="Exactly",
        no_zero="There is no zero-force member.",
        zero="Zero-force members: {members}.",
        zero_now="Zero-force in this version only: {members}.",
        zero_before="Zero-force in the truss that this version was made from, but not here: {members}.",
        steps="Step by step",
        step_whole="Whole truss: ",
        step_part="Part {joints}: ",
        step_zero="Zero-force, seen at {joint}: {members}.",
        step_joint="Joint {joint}: ",
        step_section="Section through {members}: ",
        step_together="Joints {joints} together: ",
        cover="Which code is which",
        cover_text="A worksheet, its key and its model file carry the same code. Seed {seed} gives the same "
        "versions again.",
        cover_head=("Version", "Code", "Worksheet", "Key", "Model file"),
        same_shape="The versions have the lengths of the original and other loads: no simple whole numbers "
        "show the same truss.",
        moved="Joints were moved by up to {far} from where they were drawn, so that the lengths come out "
        "round. Worksheet and key use these lengths; {file} has them, for marking.",
    ),
)
