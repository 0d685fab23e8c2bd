"""The page maker: rendered photographs of trusses with known truth. Nothing else imports it."""
