/* Every wish, once: its kind, its key in the plan file, how that is read, its sentence, how the
 * lineup program keeps it, how a finished lineup is checked.
 *
 * WISH(kind, key, reader, sentence, rows, check); in the sentence PLAYER and OTHER stand for the
 * players and VALUE for the number. core/plan.c reads the first four, model/wishes.c the last two,
 * so that a new wish is an entry here, a member of SxWishKind, and two functions in
 * model/wishes.c. */
WISH(SX_MUST_PLAY, "must_play", read_players, "PLAYER must play", rows_presence, check_plays)
WISH(SX_MUST_SIT, "must_sit", read_players, "PLAYER must sit", rows_presence, check_sits)
WISH(SX_FIXED_SLOT, "slots", read_slots, "PLAYER has slot VALUE of the serving order",
     rows_presence, check_slot)
WISH(SX_OPPOSITE_PAIR, "opposite", read_pairs,
     "PLAYER and OTHER are opposite each other in the serving order", rows_opposite, check_opposite)
WISH(SX_NOT_ADJACENT, "not_adjacent", read_pairs,
     "PLAYER and OTHER are not neighbours in the serving order", rows_apart, check_apart)
WISH(SX_NEVER_PASSES, "never_pass", read_players, "PLAYER never passes", rows_passing,
     check_passing)
WISH(SX_ALWAYS_PASSES, "always_pass", read_players, "PLAYER passes whenever on court", rows_passing,
     check_passing)
WISH(SX_NOT_FRONT_ROW, "not_front_row", read_players, "PLAYER does not play in the front row",
     rows_not_front, check_not_front)
WISH(SX_NOT_BACK_ROW, "not_back_row", read_players,
     "PLAYER does not play in the back row, but may serve", rows_not_back, check_not_back)
WISH(SX_MIN_ROTATIONS, "min_rotations", read_min_rotations,
     "PLAYER receives in at least VALUE rotationPLURAL", rows_rotations, check_rotations)
WISH(SX_LIBERO_FOR, "libero_for", read_players, "the libero comes in for PLAYER", rows_libero_for,
     check_libero_for)
WISH(SX_MAX_SUBSTITUTIONS, "max_substitutions", read_max_substitutions,
     "at most VALUE planned substitutionPLURAL in six rotations", rows_substitutions,
     check_substitutions)
WISH(SX_MUST_SET, "must_set", read_players, "PLAYER is one of the setters", rows_must_set,
     check_sets)
