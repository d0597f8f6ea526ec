"""Numbers, amounts and phrases as a bar reads them; shared by screen, JSON and paper."""
