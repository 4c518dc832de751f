// What the page and the server send one another, as types for whoever reads the
// scripts and for the checker (make lint). A test holds them against the structs
// of Go, name by name and kind by kind; the browser loads nothing of this.

/**
 * What a tab edits: it goes with every question.
 * @typedef {object} State
 * @property {string} job "" is named by the files
 * @property {string} paper the stock, "" is not stated
 * @property {PressEdit} press
 * @property {Placement} placement
 * @property {Unit[]} units
 */

/**
 * A press that is chosen, and what is changed of it; null is as it is described.
 * @typedef {object} PressEdit
 * @property {string} base
 * @property {string} file the text of one that was brought, else ""
 * @property {number | null} zones
 * @property {number | null} zone_width_mm
 * @property {string | null} first_zone left or right
 * @property {string | null} blade
 * @property {number | null} neighbour_limit_pct
 */

/**
 * How a form lies on the press.
 * @typedef {object} Placement
 * @property {string} lead_edge bottom, top, left or right, of the file
 * @property {boolean} mirrored the file is wrong-reading
 * @property {number} shift_mm to the right
 * @property {number | null} dpi_x null is the file's own
 * @property {number | null} dpi_y
 */

/**
 * One printing unit.
 * @typedef {object} Unit
 * @property {string} separation its id
 * @property {string} ink
 * @property {Curve} curve
 * @property {number | null} sweep null is auto
 */

/**
 * A curve.
 * @typedef {object} Curve
 * @property {string} [label]
 * @property {string} name
 * @property {string} shape smooth or straight
 * @property {number | null} reference_sweep null is the press's own
 * @property {number[][]} points coverage and opening, in %
 * @property {string} [note]
 * @property {Provenance | null} [learned]
 */

/**
 * What a curve was learned from: it goes back as it came.
 * @typedef {object} Provenance
 * @property {string} From
 * @property {Point[]} FromPoints
 * @property {string} FromShape
 * @property {string[]} Runs
 * @property {number} Pairs
 * @property {number} LeftOut
 * @property {number} ReadingPct
 * @property {boolean} Edited
 */

/**
 * @typedef {object} Point
 * @property {number} CoveragePct
 * @property {number} OpeningPct
 */

/**
 * What the page begins with.
 * @typedef {object} Start
 * @property {State} state
 * @property {boolean} press_named whether the command line names the press
 * @property {Separation[]} separations
 * @property {Press[]} presses
 * @property {Curve[]} curves
 * @property {PreparedForm[]} forms
 * @property {string} cautions
 * @property {Limits} limits
 */

/**
 * @typedef {object} Limits
 * @property {number} upload_bytes
 * @property {number} separations
 */

/**
 * A press to choose from.
 * @typedef {object} Press
 * @property {string} base
 * @property {string} file the text of one that was brought, else ""
 * @property {string} name
 * @property {number} zones
 * @property {number} zone_width_mm
 * @property {string} first_zone
 * @property {string} blade
 * @property {number} neighbour_limit_pct
 * @property {string} key_unit
 * @property {number} key_step
 * @property {number} key_travel
 * @property {string} key_step_text
 * @property {number} floor_pct
 * @property {number} ceiling_pct
 * @property {number | null} print_length_mm
 * @property {SweepScale} sweep
 * @property {PrintingUnit[]} units none where they are not told apart
 * @property {Curve} curve
 * @property {Record<string, Curve>} curve_of_ink of inks that have one of their own
 * @property {Paper[]} papers that have curves of their own
 */

/**
 * A printing unit of a press.
 * @typedef {object} PrintingUnit
 * @property {string} name
 * @property {SweepScale} sweep
 */

/**
 * A paper for which a press has curves.
 * @typedef {object} Paper
 * @property {string} name
 * @property {Curve | null} curve null is as on any paper
 * @property {Record<string, Curve>} curve_of_ink
 */

/**
 * @typedef {object} SweepScale
 * @property {string} unit
 * @property {number} from
 * @property {number} to
 * @property {number} step
 * @property {number[]} settings all that can be set
 */

/**
 * A separation that the server holds; null is not known.
 * @typedef {object} Separation
 * @property {string} id
 * @property {string} ink
 * @property {string} job what its file calls it
 * @property {string} file
 * @property {number} page
 * @property {number} channel
 * @property {number} width_px
 * @property {number} height_px
 * @property {number | null} dpi_x
 * @property {number | null} dpi_y
 * @property {number | null} width_mm
 * @property {number | null} height_mm
 * @property {number} coverage_pct
 * @property {string[]} warnings
 */

/**
 * A form to begin drawing with, and what to look at.
 * @typedef {object} PreparedForm
 * @property {string} id
 * @property {string} title
 * @property {string} says
 * @property {Shape[]} shapes
 */

/**
 * A rectangle, in parts of the plate's width and length from its left and lead edge.
 * @typedef {object} Shape
 * @property {number} x
 * @property {number} y
 * @property {number} w
 * @property {number} h
 * @property {number} tint in %
 */

/**
 * A form that is drawn by hand.
 * @typedef {object} Plate
 * @property {number} width_mm
 * @property {number} height_mm
 * @property {string} ink
 * @property {Shape[]} shapes
 */

/**
 * The answer to a state: all that is shown of it.
 * @typedef {object} Computed
 * @property {string} job what it is called, be there a preset or none
 * @property {Preset | null} preset
 * @property {Relation[]} units as in the preset: the state's, but for the misfits
 * @property {Zone[]} zones by number
 * @property {number} fountain_mm
 * @property {number | null} length_mm that coverages refer to
 * @property {Misfit[]} misfits
 */

/**
 * An ink of the state that is not in the preset.
 * @typedef {object} Misfit
 * @property {number} unit of the state's
 * @property {string} error one sentence
 * @property {string} place in the question's JSON
 * @property {string} code
 * @property {Outline | null} outline where it would lie
 * @property {number} left_mm of ink beyond the fountain's left end
 * @property {number} right_mm
 * @property {number[]} curve_pct empty is not known
 * @property {number} reference_sweep that they are at; 0 is not known
 */

/**
 * A zone's place from the fountain's left end, in bench view.
 * @typedef {object} Zone
 * @property {number} zone
 * @property {number | null} left_mm
 * @property {number | null} right_mm
 */

/**
 * How one unit's keys come from its coverages; lists are by zone.
 * @typedef {object} Relation
 * @property {number} reference_sweep
 * @property {number[]} wanted_pct openings that the curve asks for, before limits
 * @property {number[]} demand opening in % × sweep
 * @property {number[]} supply
 * @property {boolean[]} prints
 * @property {number} auto_sweep that auto would set, were it on
 * @property {number[]} curve_pct openings at coverages of 0, 1, … 100 %
 * @property {number[]} least settings that the floor lets keys have
 * @property {number[]} most and the ceiling; below the least where no step lies between
 * @property {number} bend_pct how far apart the blade lets neighbours stand; 0 is any
 * @property {Outline} outline of its form
 * @property {number[]} untouched settings of keys that nobody has set yet
 * @property {number} untouched_sweep
 */

/**
 * The rectangle that a form covers: from the fountain's left end, and on its lead edge.
 * @typedef {object} Outline
 * @property {number} left_mm
 * @property {number} width_mm
 * @property {number} length_mm in the print direction
 */

/**
 * @typedef {object} Preset
 * @property {string} format
 * @property {string} job
 * @property {string | null} paper
 * @property {number | null} run_length
 * @property {string | null} date
 * @property {PresetPress} press
 * @property {Placement | null} placement
 * @property {StatedForm | null} [form]
 * @property {PresetUnit[]} units
 * @property {Warning[]} warnings
 */

/**
 * A form of several pieces that no file states.
 * @typedef {object} StatedForm
 * @property {number | null} width_mm
 * @property {number | null} height_mm
 * @property {StatedPiece[]} pieces
 */

/**
 * @typedef {object} StatedPiece
 * @property {StatedFile[]} files
 * @property {number} x_mm
 * @property {number} y_mm
 * @property {number} across
 * @property {number} along
 * @property {number} gap_x_mm
 * @property {number} gap_y_mm
 * @property {number | null} dpi_x
 * @property {number | null} dpi_y
 */

/**
 * @typedef {object} StatedFile
 * @property {string} file
 * @property {string[]} inks
 */

/**
 * @typedef {object} PresetPress
 * @property {string} name
 * @property {string | null} id
 * @property {number} zones
 * @property {number | null} zone_width_mm
 * @property {string | null} first_zone
 * @property {string | null} blade
 * @property {string} key_unit
 * @property {string} sweep_unit
 * @property {string | null} [clockwise] closes or opens
 */

/**
 * @typedef {object} PresetUnit
 * @property {string} ink
 * @property {string | null} unit
 * @property {number | null} pass
 * @property {string | null} file
 * @property {number | null} page
 * @property {number | null} channel
 * @property {string | null} curve
 * @property {number} sweep
 * @property {string | null} sweep_chosen
 * @property {string | null} [charge] how to ink the rollers first
 * @property {string | null} sweep_reason
 * @property {number | null} coverage_pct
 * @property {number | null} length_mm
 * @property {ByTrain | null} [by_train] keys were solved on the roller train
 * @property {boolean} [as_run] keys and sweep are those of a run that was passed
 * @property {Key[]} keys by zone
 */

/**
 * @typedef {object} ByTrain
 * @property {boolean} fitted
 * @property {number | null} film_um
 * @property {number[]} film_off_pct by zone
 */

/**
 * @typedef {object} Key
 * @property {number} zone
 * @property {number | null} left_mm
 * @property {number | null} right_mm
 * @property {number} coverage_pct
 * @property {number} opening_pct
 * @property {number} key on the press's scale
 * @property {string} key_text
 * @property {string} state what holds it, a name of keyStates (plan.js)
 * @property {number | null} [shut_at] what it shows when shut
 */

/**
 * @typedef {object} Warning
 * @property {string} ink
 * @property {number | null} zone null is of the whole ink
 * @property {string} code
 * @property {string} text
 */

/**
 * What a learner set by eye.
 * @typedef {object} Trial
 * @property {State} state
 * @property {number} unit
 * @property {number[]} keys on the press's scale, by zone
 * @property {number} sweep
 */

/**
 * The answer to a trial.
 * @typedef {object} Weighed
 * @property {WeighedZone[]} zones
 * @property {number} score of 100
 * @property {number} profile_pct of the zones that count, those that are right
 * @property {number} wrong how many of them are not
 * @property {number} untouched_wrong how many are not with untouched keys
 * @property {number} profile_points what was improved on these, of 100
 * @property {number} level_points that the level takes off these
 * @property {number} level_off_pct above 0 all zones are fed too much
 * @property {number} right_sweep at which the keys as set come nearest to the level
 * @property {number} mean_off_pct
 * @property {string} definition of the score
 */

/**
 * @typedef {object} WeighedZone
 * @property {number} zone
 * @property {number} opening_pct where the blade stands
 * @property {string} state what holds it there, a name of keyStates (plan.js)
 * @property {number} demand
 * @property {number} best what the best keys feed
 * @property {number} supply
 * @property {number | null} off_pct of the best, in the trial's level; null where the zone does not count
 * @property {string} says a name of keyStates (plan.js), or ""
 */

/**
 * What is asked of one zone along the print direction; its state has one unit.
 * @typedef {object} AlongQuestion
 * @property {State} state
 * @property {number} zone
 */

/**
 * The answer to that.
 * @typedef {object} Along
 * @property {number} length_mm from the lead edge, that the bands divide
 * @property {number[]} bands_pct coverages of bands of equal length, from the lead edge
 * @property {Band | null} uneven the tenth of the length that the zone is warned of
 * @property {Band | null} bar the take-off bar that is advised
 */

/**
 * A piece of a form along the print direction, from the lead edge.
 * @typedef {object} Band
 * @property {number} from_mm
 * @property {number} to_mm
 * @property {number} coverage_pct
 */

/**
 * @typedef {object} RowQuestion
 * @property {string} seed
 */

/**
 * Forms in rising difficulty, for a class.
 * @typedef {object} FormRow
 * @property {string} seed
 * @property {PreparedForm[]} forms
 */

/**
 * A question about one unit of a state.
 * @typedef {object} RehearseQuestion
 * @property {State} state
 * @property {number} unit which of the state's
 * @property {number} zone whose key is moved, else 0
 */

/**
 * What zones print, by zone.
 * @typedef {object} Films
 * @property {number[]} pct of the film that is wanted; 0 where nothing prints
 * @property {number[]} density of solids, likewise; empty: the press does not know the ink's law
 */

/**
 * What the train's line says of all inks, at once, and the train of the one asked about.
 * @typedef {object} Line
 * @property {Train} train
 * @property {boolean} measured whether the train was fitted to this press
 * @property {InkLine[]} inks those that fit, as in the preset
 */

/**
 * What the line says of one ink.
 * @typedef {object} InkLine
 * @property {number} unit which of the state's
 * @property {string} ink
 * @property {Films} preset
 * @property {Films} curve of the openings that the curve asks for, at its own sweep, before limits and steps
 * @property {number[]} band densities of 10 % less film, of the film that is wanted, and of 10 % more; empty: the press does not know the ink's law
 */

/**
 * A roller train as it lies, from the plate's axis.
 * @typedef {object} Train
 * @property {number} image_mm length of image round the plate
 * @property {Roller} plate
 * @property {Roller[]} rollers the ductor first
 */

/**
 * @typedef {object} Roller
 * @property {string} name
 * @property {string} kind
 * @property {boolean} hard
 * @property {number} x_mm to the right
 * @property {number} y_mm and up
 * @property {number} diameter_mm
 * @property {number} circumference_mm
 * @property {boolean} clockwise
 */

/**
 * What is printed once all has settled.
 * @typedef {object} Settled
 * @property {Films} preset as in the line
 * @property {Films} curve
 * @property {number[][]} rollers_pct films on the rollers in their order, in % of the film wanted on the sheet, by zone
 * @property {Sheet} sheet
 * @property {string[]} sentences on that
 */

/**
 * The film over the sheet.
 * @typedef {object} Sheet
 * @property {number} rows from the gripper edge
 * @property {number} columns
 * @property {number[]} film_pct row by row from the fountain's left end; 0 where nothing prints
 */

/**
 * What keys print that are solved together on the train.
 * @typedef {object} Solved
 * @property {number} sweep
 * @property {string[]} key_texts by zone
 * @property {Films} films
 */

/**
 * Some of the sheets of a run.
 * @typedef {object} FilmRun
 * @property {number[]} sheets from 1
 * @property {Films[]} films sheet by sheet
 */

/**
 * A start from washed rollers.
 * @typedef {object} StartUp
 * @property {FilmRun} run
 * @property {number | null} stands sheets until all zones that are waited for stay within 10 % of where they settle; null: more than were followed
 * @property {string[]} sentences on that
 */

/**
 * What the command rehearse says of the ink.
 * @typedef {object} Said
 * @property {string[]} sentences the worst first
 */

/**
 * What follows when one key is moved.
 * @typedef {object} Pull
 * @property {number} zone
 * @property {number} from_pct its opening
 * @property {number} to_pct
 * @property {number[]} shares_pct of what it does to the films, by zone
 * @property {FilmRun} run
 */

/**
 * The answer to files that are brought.
 * @typedef {object} Brought
 * @property {Separation[]} separations
 * @property {FileError[]} errors
 * @property {string[]} notes on how they were read
 */

/**
 * What is in a file that holds no separation.
 * @typedef {object} Open
 * @property {SmallFile} file
 * @property {SmallFile[]} beside what was brought with it
 * @property {PressEdit[]} presses that were brought before
 */

/**
 * @typedef {object} SmallFile
 * @property {string} name
 * @property {string} data in base64
 */

/**
 * The answer: one of these.
 * @typedef {object} Opened
 * @property {Curve | null} curve
 * @property {Press | null} press
 * @property {OpenedPreset | null} preset
 */

/**
 * A preset or OK file. Its form is not in it: each zone is an even tint.
 * @typedef {object} OpenedPreset
 * @property {string} job
 * @property {string} paper
 * @property {string} base of the press that it is for
 * @property {Placement} placement
 * @property {OpenedUnit[]} units
 * @property {boolean} run whether it says what was run
 */

/**
 * @typedef {object} OpenedUnit
 * @property {Separation} separation
 * @property {Curve | null} curve null is not known here
 * @property {number | null} sweep null was found by auto
 * @property {Stood} stood
 */

/**
 * How an ink stood: as it was run where the file says so, else as preset.
 * @typedef {object} Stood
 * @property {number} sweep
 * @property {(number | null)[]} openings_pct by zone; null was not read
 * @property {string[]} texts the keys on their scale, "" where not read
 * @property {number[]} coverage_pct by zone
 */

/**
 * Which presses take separations.
 * @typedef {object} Takes
 * @property {Placement} placement
 * @property {string[]} separations their ids
 */

/**
 * The answer: names of presses, in their order.
 * @typedef {object} Taking
 * @property {string[]} presses
 */

/**
 * @typedef {object} FileError
 * @property {string} file
 * @property {string} error
 * @property {number} pages of a file of which one is to be chosen, else 0
 */

/**
 * The answer to what cannot be done.
 * @typedef {object} Refusal
 * @property {string} error one sentence
 * @property {string} place in the question's JSON, or ""
 * @property {Computed | null} [computed] what can be shown all the same
 */

export {};
