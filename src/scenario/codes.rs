//! Codes of problems with a scenario. A code is never used again for something else.

macro_rules! codes {
    ($($name:ident = $code:literal, $meaning:literal;)*) => {
        $(#[doc = $meaning] pub const $name: &str = $code;)*
        /// Every code and its meaning, in order.
        pub const ALL: &[(&str, &str)] = &[$(($code, $meaning)),*];
    };
}

codes! {
    NOT_UTF8 = "S001", "the file is not UTF-8 text";
    BYTE_ORDER_MARK = "S002", "note: the file begins with a byte-order mark, which is dropped";
    TOO_DEEP = "S003", "objects or lists nest deeper than is read";
    SYNTAX = "S004", "the file is not JSON";
    UNKNOWN_KEY = "S005", "a key that the scenario does not know";
    MISSING_KEY = "S006", "a key that must be there is missing";
    WRONG_TYPE = "S007", "a value of the wrong type";
    DOUBLE_KEY = "S008", "a key is written twice in one object";
    OUT_OF_RANGE = "S009", "a number is too small or too large for its key";
    DECIMALS = "S010", "more decimals than the key keeps";
    NOT_A_NUMBER = "S011", "NaN, infinite, or far too large to be a quantity";
    LOOSE_DAY = "S012", "a day that is not written year-month-day with ten characters";
    NO_SUCH_DAY = "S013", "a day that the calendar does not have";
    SPAN_BACKWARDS = "S014", "a span of days that ends before it begins";
    NOT_A_CHOICE = "S015", "a text that is not one of the choices";
    BAD_TEXT = "S016", "a text that is empty, too long or holds control signs";
    BAD_ID = "S017", "an id with signs that ids may not hold";
    LIST_LENGTH = "S018", "a list that is empty or too long";
    ALTERNATIVES = "S019", "keys that exclude each other, or only half of a set of keys";
    UNKNOWN_ID = "S020", "a reference to an id that does not exist";
    DOUBLE_ID = "S021", "two entries of a list have the same id";
    BAD_TIME = "S022", "a time of day that is not written hh:mm";
    YEAR = "S023", "a year before 1990 or after 2200";
    DOUBLE_VALUE = "S024", "a list holds the same value twice";
    TABLE_UNREADABLE = "S030", "a table's file cannot be read, or may not be named like that";
    TABLE_EMPTY = "S031", "a table without rows";
    MIXED_SEPARATORS = "S032", "a table with mixed separators or decimal signs";
    SEMICOLON = "S033", "note: a table with `;` as separator";
    ROW_LENGTH = "S034", "a row with more or fewer cells than the table has columns";
    UNKNOWN_COLUMN = "S035", "a column that the table does not know";
    MISSING_COLUMN = "S036", "a column that must be there is missing";
    DOUBLE_COLUMN = "S037", "a column stands twice in the first line";
    OPEN_QUOTE = "S038", "a cell that runs over several lines: a quote is not closed";
    WINDOW_OUTSIDE = "S040", "no day of the window, or after water or harvest, lies inside the horizon";
    HORIZON_LENGTH = "S041", "the horizon is longer than can be planned";
    AGE_ORDER = "S042", "youngest, target and oldest age are not in order";
    THRESHOLD_ORDER = "S043", "base, upper limit and ceiling are not in order";
    WEATHER_GAP = "S044", "days are missing between two rows of weather";
    WEATHER_DOUBLE = "S045", "two rows of weather for one day";
    WEATHER_MISSING = "S046", "no weather on days on which a clock needs it";
    WEATHER_ORDER = "S047", "the lowest temperature of a day is above the highest";
    STAGE_MISSING = "S048", "no bed takes one of the two stages";
    PIN = "S049", "a pin that can never hold";
    PART = "S050", "a part that the field does not have, or more parts than trays";
    OPENING_DAY = "S051", "a day of the opening on the wrong side of the first day";
    OPENING_STAGE = "S052", "trays of the opening stand in a bed that does not take their stage";
    TRAYS_BELOW_ZERO = "S053", "more trays in use on the first day than there are";
    SEASON = "S054", "a window, or the days after water or harvest, outside its season";
    OPENING_DOUBLE = "S055", "two entries of the opening, or two pins, for one part";
    TOO_MANY_TRAYS = "S056", "more trays than can be counted";
    PAIR_DOUBLE = "S057", "a set-up pair is given twice, or from a kind to itself";
    STORE_DOUBLE = "S058", "two stores, or two rates of a line, for one kind";
    ANCHOR = "S059", "days after water or harvest that are out of order, or lack their day";
    THICK_SEED = "S060", "warning: more seed a tray than any published class";
    MANY_TRAYS = "S061", "warning: very many trays for one field";
    NO_CAPACITY = "S062", "warning: a line, place, crew or machine that can do nothing";
    FAST_LINE = "S063", "warning: a line set faster than is common";
    HIGH_STACK = "S064", "warning: stacks higher than is common";
    HOT_STACK = "S065", "warning: stacks so warm that mould is favoured";
    TIGHT_BED = "S066", "warning: more trays on a square metre than lie side by side";
    SMALL_CREW = "S067", "warning: a team larger than its crew";
    COLD_SOAK = "S068", "warning: soaking water colder than is advised";
    NO_ORDERS = "S069", "warning: no fields";
    PREFERRED_OUTSIDE = "S070", "warning: the preferred day cannot be chosen";
    WINDOW_CUT = "S071", "warning: part of a window lies outside the horizon";
    WINDOW_CLOSED = "S072", "warning: every day of the window is closed";
    NO_COMMON_DAY = "S073", "warning: window, water and harvest leave no day in common";
    UNUSED_GROWER = "S074", "warning: a grower that no field names";
    DELIVERY_OUTSIDE = "S075", "warning: a delivery outside the horizon";
    FEWER_SOWN = "S076", "warning: fewer trays stand sown than are ordered";
    CURVE = "S080", "a return curve that does not rise";
    BAG = "S081", "a bag of seed that does not fit in the soaking tank";
    LIMIT = "S082", "a limit of age that holds no age, or that excludes another";
    NOT_FIRM = "S083", "no order line is firm";
    LOST = "S084", "losses that leave hardly anything of what is sown";
    PAIR = "S085", "a set-up pair that contradicts itself";
    ROW = "S086", "a row of trays longer than its bed has floor";
    SPAN_TWICE = "S087", "a day in two spans of one list";
    SPAN_OUTSIDE = "S088", "warning: a span outside the horizon";
    LEAST_RUN = "S089", "warning: a least run larger than all orders of its kind";
    HAND_OVER = "S090", "a key that makes no sense for the stage that is handed over";
    ORDERED = "S091", "warning: ordered after the field can be planted";
    SHARING = "S092", "warning: a way to share that no order line feeds";
    SPARE_NAME = "S093", "a name that the spare has";
    A_PLAN = "S094", "the file is a plan, not a scenario";
    WITHOUT_EFFECT = "S095", "warning: something written that changes nothing";
    TRIP = "S096", "warning: a round trip that no vehicle can make in a day";
    NOTHING_GROWN = "S097", "the opening or a pin names an order line for which no trays are sown";
    CUT_SHORT = "S098", "there are more problems than are listed";
    INTERNAL = "S099", "the program's table of keys and its types disagree: please report it";
    THROWN_OUT = "S100", "warning: trays thrown out, or a set-up, that take the line's whole day";
    HIGH_LOSS = "S101", "warning: more is lost in one stage than is common";
    WEEK_HOURS = "S102", "warning: shifts of a week, or overtime of a day, that a person's week does not allow";
    BED_CLOSED = "S103", "trays of the opening stand in a bed on a day on which it is closed";
    CARRIED = "S104", "days or counts of carried-over trays or parts that contradict one another";
    STAFF = "S105", "warning: fewer on the staff can do something than a plan may ask for";
}

#[cfg(test)]
mod tests {
    use super::ALL;

    #[test]
    fn codes_are_unique_and_in_order() {
        assert!(ALL.windows(2).all(|pair| pair[0].0 < pair[1].0));
    }
}
