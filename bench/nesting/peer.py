"""Asks packingsolver, a published solver for packing and cutting, in the way both comparisons do."""

QUARTERS = [(turn, turn, False) for turn in (0, 90, 180, 270)]


def sheets_of(builder, seconds, placed):
    """Its cost and sheets: (stock item, [(design, polygon)]); `placed` lays a design, its turn and place out."""
    import packingsolver.irregular as peer

    parameters = peer.OptimizeParameters()
    parameters.time_limit = seconds
    parameters.verbosity_level = 0
    solution = peer.optimize(builder.build(), parameters).solution
    sheets = []
    for at in range(solution.number_of_different_bins()):
        sheet = solution.bin(at)
        lie = [
            (item.item_type_id, placed(item.item_type_id, item.angle, (item.bl_corner.x, item.bl_corner.y)))
            for item in sheet.items
        ]
        sheets += [(sheet.bin_type_id, lie)] * sheet.copies
    return round(solution.cost()), sheets
