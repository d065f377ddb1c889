"""Where a case may go: route x set-up order x stage, written out."""

CONVENTIONAL, INTERIM = "conventional", "interim"
POSTERIOR, ANTERIOR = "posterior first", "anterior first"

# What every case has in common, whatever its route and order.
SHARED = {
    "draft": {"sent", "cancelled"},
    "sent": {"accepted", "declined", "cancelled"},
    "accepted": {"tray", "master cast and rims", "cancelled"},
    "tray": {"master cast and rims", "cancelled"},
    "master cast and rims": {"jaw records", "cancelled"},
    "jaw records": {"mounting", "cancelled"},
    "mounting": {"settings", "jaw records", "cancelled"},
    "settings": {"set-up", "mounting", "cancelled"},
    "final wax": {"processing", "set-up", "cancelled"},
    "processing": {"remount", "cancelled"},
    "remount": {"finishing", "cancelled"},
    "finishing": {"released", "cancelled"},
    "released": {"dispatched", "cancelled"},
    "dispatched": {"received", "cancelled"},
    "received": {"delivered", "cancelled"},
    "delivered": {"in review", "cancelled"},
    "in review": {"closed", "cancelled"},
    "closed": set(),
    "declined": set(),
    "cancelled": set(),
}

TABLE = {
    (CONVENTIONAL, POSTERIOR): {
        **SHARED,
        "set-up": {"try-in", "final wax", "settings", "cancelled"},
        "try-in": {"set-up", "jaw records", "cancelled"},
    },
    (CONVENTIONAL, ANTERIOR): {
        **SHARED,
        "set-up": {"try-in", "final wax", "settings", "cancelled"},
        "try-in": {"set-up", "jaw records", "final wax", "cancelled"},
    },
    (INTERIM, POSTERIOR): {
        **SHARED,
        "set-up": {"final wax", "settings", "cancelled"},
        "try-in": {"cancelled"},
    },
    (INTERIM, ANTERIOR): {
        **SHARED,
        "set-up": {"final wax", "settings", "cancelled"},
        "try-in": {"cancelled"},
    },
}
